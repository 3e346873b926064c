"""Intervals of whole nanometres, and how far a property holds from a point on."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from broachplan.cut.load import largest_that

Interval = tuple[int, int]


def joined(intervals: Iterable[Interval]) -> list[Interval]:
    """The same as few intervals, in order."""
    found: list[Interval] = []
    for low, high in sorted(intervals):
        if found and low <= found[-1][1] + 1:
            found[-1] = found[-1][0], max(found[-1][1], high)
        else:
            found.append((low, high))
    return found


def farthest(start: int, most: int, holds: Callable[[int], bool]) -> int:
    """The last of start..most up to which ``holds``, which does at the start; what lies near it is looked at first."""
    step, good = 1_000, start
    while good < most:
        end = min(good + step, most)
        if not holds(end):
            return largest_that(holds, good, end - 1)
        good, step = end, step * 4
    return good
