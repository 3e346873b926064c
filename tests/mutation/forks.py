"""Collect the tests once, learn which of them come where, and try each mutant in a fork until a test notices it."""

from __future__ import annotations

import json
import os
import re
import resource
import signal
import sys
import time
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import ceil
from pathlib import Path

import pytest
from _pytest.runner import runtestprotocol

from tests.mutation.results import ENDLESS, KILLED, SURVIVED, UNTRIED, Results

_MUTANT = "MUTANT_UNDER_TEST"
# Seconds of processor time that a mutant has for a test: a start, and so many times what the test took unchanged.
_START, _TIMES = 2.0, 6.0
_MEMORY = 3 << 30
_KEEP_EVERY = 50


@dataclass(slots=True)
class Reach:
    """The tests that come to each function, and the processor time of each."""

    tests: dict[str, list[str]] = field(default_factory=dict)
    seconds: dict[str, float] = field(default_factory=dict)

    def of(self, mutant: str) -> list[str]:
        """The tests that may notice a mutant, the quickest first."""
        return sorted(self.tests.get(mutant.rpartition("__mutmut_")[0], ()), key=self.seconds.__getitem__)

    def cost(self, mutant: str) -> float:
        """Seconds of all of them."""
        return sum(self.seconds[test] for test in self.of(mutant))


class Forks:
    """A plugin that replaces pytest's own loop over the tests."""

    def __init__(self, folder: Path, only: str, at_once: int) -> None:
        self.results = Results.read(folder)
        self.only = re.compile(only)
        self.at_once = at_once
        self.trying = False
        self.running: dict[int, str] = {}

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtest_makereport(self, call: pytest.CallInfo[None]) -> None:
        """In a fork the first failure is enough, and nobody reads its report."""
        if self.trying and call.excinfo is not None:
            os._exit(1)

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Try what was asked for; what the tests left behind is not cleared up after them."""
        items = {item.nodeid: item for item in session.items}
        os.environ[_MUTANT] = ""
        reach = _reached(items)
        asked = sorted(filter(self._is_asked, _mutants()), key=reach.cost)
        print(f"{len(asked)} mutants, {len(items)} tests of {sum(reach.seconds.values()):.0f} s", flush=True)
        for number, mutant in enumerate(asked, 1):
            tests = [(items[test], reach.seconds[test]) for test in reach.of(mutant)]
            if tests:
                self._fork(mutant, tests)
            else:
                # Where only some of the tests are asked, one that survived all of them did so still.
                self.results.by_name.setdefault(mutant, UNTRIED)
            if number % _KEEP_EVERY == 0:
                self.results.write()
                print(f"{number} of {len(asked)}, {time.strftime('%H:%M:%S')}", flush=True)
        while self.running:
            self._ended()
        self.results.write()
        os._exit(0)

    def _is_asked(self, mutant: str) -> bool:
        """All by that name at first; those that survived when some were tried before."""
        known = self.results.by_name
        return bool(self.only.search(mutant)) and known.get(mutant, SURVIVED) in (SURVIVED, UNTRIED)

    def _fork(self, mutant: str, tests: Sequence[tuple[pytest.Item, float]]) -> None:
        while len(self.running) >= self.at_once:
            self._ended()
        child = os.fork()
        if child:
            self.running[child] = mutant
            return
        self.trying = True
        os.environ[_MUTANT] = mutant
        resource.setrlimit(resource.RLIMIT_AS, (_MEMORY, _MEMORY))
        try:
            _run(tests)
        except BaseException:
            os._exit(1)
        os._exit(0)

    def _ended(self) -> None:
        """Wait for the next that ends."""
        child, status = os.wait()
        if os.WIFSIGNALED(status):
            became = ENDLESS if os.WTERMSIG(status) in (signal.SIGXCPU, signal.SIGKILL) else KILLED
        else:
            became = KILLED if os.WEXITSTATUS(status) else SURVIVED
        self.results.by_name[self.running.pop(child)] = became


def _run(tests: Sequence[tuple[pytest.Item, float]]) -> None:
    """Run the tests one after the other; the system ends one that takes far longer than unchanged."""
    follow = [item for item, _ in tests[1:]]
    for (test, seconds), after in zip(tests, [*follow, None], strict=True):
        most = time.process_time() + _START + _TIMES * seconds
        resource.setrlimit(resource.RLIMIT_CPU, (ceil(most), resource.RLIM_INFINITY))
        runtestprotocol(test, log=False, nextitem=after)


def _mutants() -> Iterable[str]:
    """The names that mutmut gave."""
    for file in sorted(Path("broachplan").rglob("*.meta")):
        yield from json.loads(file.read_text())["exit_code_by_key"]


def _reached(items: dict[str, pytest.Item]) -> Reach:
    """Run every test once, in a fork, and note where it comes; a test that fails unchanged notices nothing."""
    read, write = os.pipe()
    if not os.fork():
        from mutmut.mutation import trampoline

        come, reach = set[str](), Reach(defaultdict(list))
        trampoline.record_trampoline_hit = lambda name, **_: come.add(name)
        os.environ[_MUTANT] = "stats"
        for name, item in items.items():
            come.clear()
            begun = time.process_time()
            reports = runtestprotocol(item, log=False, nextitem=None)
            if any(report.failed for report in reports):
                print(f"fails unchanged: {name}", flush=True)
                continue
            reach.seconds[name] = time.process_time() - begun
            for function in come:
                reach.tests[function].append(name)
        with open(write, "w") as out:
            json.dump([reach.tests, reach.seconds], out)
        os._exit(0)
    os.close(write)
    with open(read) as shown:
        reach = Reach(*json.load(shown))
    os.wait()
    return reach


def main(folder: str, only: str, at_once: str, *tests: str) -> int:
    """Run in the tree with the mutants, which comes before the one that is worked on."""
    sys.path.insert(0, os.getcwd())
    os.environ[_MUTANT] = ""
    options = ("--rootdir=.", "--assert=plain", "--hypothesis-profile=mutants", "-q", "-W", "ignore")
    without = ("-p", "no:cacheprovider", "-p", "no:xdist")
    return pytest.main([*options, *without, *tests], plugins=[Forks(Path(folder), only, int(at_once))])


if __name__ == "__main__":
    raise SystemExit(main(*sys.argv[1:]))
