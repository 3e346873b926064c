"""Ratios of times taken side by side: run A, run B, and again, so that a busy machine slows both."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import ceil
from pathlib import Path
from statistics import median
from time import perf_counter

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Spread:
    """Figures of many runs or cases."""

    values: tuple[float, ...]

    @property
    def median(self) -> float:
        """The middle of the values."""
        return median(self.values)

    @property
    def least(self) -> float:
        """The smallest value."""
        return min(self.values)

    @property
    def most(self) -> float:
        """The largest value."""
        return max(self.values)

    def percentile(self, share: float) -> float:
        """The smallest value that at least ``share`` percent of the values do not exceed."""
        ordered = sorted(self.values)
        return ordered[max(ceil(len(ordered) * share / 100), 1) - 1]


@dataclass(frozen=True)
class Took:
    """Seconds of one run, by the clock and of the processor; a busy machine stretches the first much more."""

    clock: float
    processor: float


Timed = Callable[[], Took]


@dataclass(frozen=True)
class Paired:
    """Times of two things run in turn, ours first."""

    runs: tuple[tuple[Took, Took], ...]

    @property
    def clock_ratio(self) -> Spread:
        """Ours over the yardstick by the clock, run by run."""
        return Spread(tuple(ours.clock / yard.clock for ours, yard in self.runs))

    @property
    def processor_ratio(self) -> Spread:
        """Ours over the yardstick in processor time, run by run."""
        return Spread(tuple(ours.processor / yard.processor for ours, yard in self.runs))

    @property
    def processor_medians(self) -> tuple[float, float]:
        """Median seconds of processor time: ours, and the yardstick's."""
        ours, yard = zip(*self.runs, strict=True)
        return median(took.processor for took in ours), median(took.processor for took in yard)


def side_by_side(ours: Timed, yardstick: Timed, times: int) -> Paired:
    """Run both in turn, ``times`` times, after one run of each that does not count."""
    ours()
    yardstick()
    return Paired(tuple((ours(), yardstick()) for _ in range(times)))


def process(arguments: Sequence[str], env: Mapping[str, str] | None = None, *, code: int = 0) -> Timed:
    """A whole process of this Python, from start to end.

    Raises
    ------
    SystemExit : it ended with another exit code than ``code``.
    """

    def run() -> Took:
        start = perf_counter()
        running = subprocess.Popen(
            [sys.executable, *arguments],
            cwd=ROOT,
            env={**os.environ, **(env or {})},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
        )
        return ended(running, start, (code,))

    return run


def ended(running: subprocess.Popen[bytes], start: float, codes: tuple[int, ...] = (0,)) -> Took:
    """Wait for a process begun at ``start``; `SystemExit` when it ends with an exit code that is not one of ``codes``."""
    _, status, used = os.wait4(running.pid, 0)
    took = Took(perf_counter() - start, used.ru_utime + used.ru_stime)
    running.returncode = os.waitstatus_to_exitcode(status)
    if running.returncode not in codes:
        raise SystemExit(f"{running.args!r:.200}: exit code {running.returncode}")
    return took


def shown(name: str, paired: Paired, most: float | None = None) -> str:
    """One line: ratios and their ranges, both medians, and whether the ratio asked for was kept."""
    ratio, clock = paired.processor_ratio, paired.clock_ratio
    ours, yard = paired.processor_medians
    line = (
        f"{name:42} {ratio.median:5.2f} times ({ratio.least:.2f} to {ratio.most:.2f}), by the clock"
        f" {clock.median:.2f} ({clock.least:.2f} to {clock.most:.2f}); {1000 * ours:.0f} ms against {1000 * yard:.0f} ms"
    )
    return line if most is None else f"{line}; {verdict(ratio.median <= most)}: at most {most:g}"


def verdict(kept: bool) -> str:
    """``kept`` or ``missed``."""
    return "kept" if kept else "missed"
