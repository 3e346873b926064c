"""A disk that fails at any one change, or at all from one on: an honest refusal, and all as before or as after."""

from __future__ import annotations

import re
import shutil
from collections import Counter
from collections.abc import Callable, Iterable
from errno import EIO, ENOSPC

import pytest

from broachplan.errors import ExitCode
from tests.faults.acts import ALL_ACTS, Played
from tests.faults.disk import Disk, read_log
from tests.faults.stage import Run, Trouble

# What no line may say where all was done and only the disk's word for it is missing.
AS_BEFORE = re.compile("as it was|nothing was changed|not restored|not upgraded|backup” could not be")


def code_of(name: str) -> int:
    """The exit code of a refusal: where files for others go was typed, so that another place may be."""
    files = ("crib export", "crib labels", "crib blanks", "run export", "jobs drawing")
    return ExitCode.BAD_INPUT if name.startswith(files) else ExitCode.STORAGE


def may_be_borne(played: Played) -> tuple[set[int], set[int]]:
    """Which of an act's changes, counted from one, may fail while it is done all the same, and which take a name away.

    SQLite itself does not mind when the folder of its journal is not synced, nor when a journal stays that has nothing
    to undo; what can have no second name is copied; and what was only begun is swept up by the next.
    """
    here, log = played.copied(), played.new_name()
    disk, borne, removals, writes = Disk(here), set[int](), set[int](), Counter[int]()
    made_as: dict[bytes, int] = {}
    played.run(Trouble(log=str(log)), here)
    changes = [change for change in read_log(log) if change.kind != "a"]
    for number, change in enumerate(changes, start=1):
        disk.apply(change)
        writes[change.file] += change.kind == "w"
        if change.kind == "c":
            made_as[change.first] = change.file
            writes[change.file] = 0
        is_empty = change.first.endswith(b"-journal") and writes[made_as.get(change.first, 0)] == 1
        is_sync = change.kind == "s" and disk.is_of_folder(change)
        is_begun = b"/.broachplan-" in change.first
        if change.kind == "l" or is_sync or (change.kind == "u" and (is_empty or is_begun)):
            borne.add(number)
        if change.kind == "u":
            removals.add(number)
    return borne, removals


def reported_plainly(run: Run, code: int) -> None:
    """Nothing on stdout, and one plain line that gives a reason."""
    assert (run.code, run.out) == (code, ""), run
    assert run.err.startswith("broachplan: ")
    assert run.err.count("\n") == 1
    assert "Traceback" not in run.err
    assert "savepoint" not in run.err
    assert "may not change it" not in run.err, "a disk that fails is no matter of rights"


def fail_at(played: Played, code: int, moments: Iterable[int], error: int, *, for_good: bool) -> int:
    """Let the act run with a failure at each of the moments; how often it failed, up to the first moment it does not reach."""
    borne, removals = may_be_borne(played)
    refusals = 0
    for moment in moments:
        run, here = played.run(Trouble(fail_at=moment, error=error, for_good=for_good))
        done = played.happened(here)
        if run.code == played.act.code:
            assert done
            if run.changes < moment:
                return refusals
            assert moment in borne, moment
        else:
            reported_plainly(run, code)
            assert not (done and AS_BEFORE.search(run.err)), f"it was done all the same: {run}"
            refusals += 1
        if not for_good and moment not in removals:
            assert not [path for path in here.rglob("*") if path.name.startswith((".", "demo-"))]
        shutil.rmtree(here)
    return refusals


@pytest.mark.parametrize("name", ["crib lend", "data restore", "the first use"])
def test_a_change_that_the_disk_refuses_is_reported_and_all_is_as_before_or_as_after(
    watched: Callable[[str], Played], name: str
) -> None:
    played = watched(name)
    last = max(may_be_borne(played)[0])

    once = fail_at(played, ExitCode.STORAGE, (2, last), EIO, for_good=False)
    for_good = fail_at(played, ExitCode.STORAGE, (1, last // 2), ENOSPC, for_good=True)

    assert (once, for_good) == (2, 2)


@pytest.mark.nightly
@pytest.mark.parametrize("for_good", [False, True], ids=["once", "for good"])
@pytest.mark.parametrize("error", [EIO, ENOSPC], ids=["EIO", "ENOSPC"])
@pytest.mark.parametrize("name", ALL_ACTS)
def test_a_failure_at_every_single_change_is_reported_and_all_is_as_before_or_as_after(
    watched: Callable[[str], Played], name: str, error: int, for_good: bool
) -> None:
    played = watched(name)
    borne, _ = may_be_borne(played)

    refusals = fail_at(played, code_of(name), range(1, 1000), error, for_good=for_good)

    assert refusals >= max(borne) - len(borne)
