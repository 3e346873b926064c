"""The best pairs of many, each worked out only as far as its rank needs.

How many passes a pair needs at least is known of every pair. Fewest passes and tenths off aim are settled of those that
can have as few as the best; peaks are looked for only among pairs that are
alike in both and can still be among the best; the shims that are handled only for those whose peak is low enough.
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Iterable, Iterator
from itertools import groupby
from math import inf

from broachplan.planner.pairs import BegunPair, FinishedPair, finished
from broachplan.planner.rules import Case


def best_found(begun: Iterable[BegunPair], most: int | None, case: Case) -> list[FinishedPair]:
    """The ``most`` best pairs in full, best first; None: all of them."""
    found: list[FinishedPair] = []
    for alike in _alike(_fewest_passes(list(begun), most)):
        room = None if most is None else most - len(found)
        if room is not None and room <= 0:
            break
        in_full = [finished(one, peak, case) for one, peak in _least_loaded(alike, room)]
        found += sorted(in_full, key=rank_key)[:room]
    return found


def rank_key(found: FinishedPair) -> tuple[object, ...]:
    """The seven criteria of which plan is best, smallest first; comparable between plans for one hub.

    A pair whose force is not known, because of its broach, comes after those whose force is.
    """
    search, order = found.search, found.order
    target, drawer = search.problem.target, search.problem.totals
    last = search.reading(order.lifts[-1])
    return (
        len(order.lifts),
        target.tenths(last),
        inf if order.peak_n is None else order.peak_n,
        sum(drawer.count(place) for place in order.places),
        [-lift for lift in order.lifts[:-1]],
        target.off_aim(last),
        found.pair.broach.tag,
        found.pair.bushing.tag,
        [[shim.tag for shim in stack] for stack in found.stacks],
    )


def _fewest_passes(begun: list[BegunPair], most: int | None) -> list[BegunPair]:
    """Those that can be among the ``most`` best: passes are counted until enough pairs have fewer than all others need."""
    if most is None:
        return begun

    def at_least(one: BegunPair) -> int:
        return one.passes_at_least

    counted: list[BegunPair] = []
    for passes, group in groupby(sorted(begun, key=at_least), at_least):
        if sum(one.start.passes < passes for one in counted) >= most:
            break
        counted += group
    return counted


def _alike(begun: Iterable[BegunPair]) -> Iterator[list[BegunPair]]:
    """The pairs in groups of as many passes and as many tenths off aim, the best group first."""

    def first_criteria(one: BegunPair) -> tuple[int, int]:
        return one.start.passes, one.start.tenths

    for _, group in groupby(sorted(begun, key=first_criteria), first_criteria):
        yield list(group)


def _least_loaded(alike: list[BegunPair], room: int | None) -> list[tuple[BegunPair, int | None]]:
    """Of a group those that can be among its ``room`` best, with their least peaks; all that tie with the last of them."""
    loaded = [one for one in alike if one.search.problem.bearing is not None]
    unknown = [one for one in alike if one.search.problem.bearing is None]
    peaks: list[int] = []
    found: list[tuple[BegunPair, int]] = []
    for one in loaded:
        most = peaks[room - 1] if room is not None and len(peaks) >= room else None
        peak = one.search.least_peak(most)
        if peak is not None:
            insort(peaks, peak)
            found.append((one, peak))
    limit = peaks[room - 1] if room is not None and len(peaks) >= room else None
    best = [(one, peak) for one, peak in found if limit is None or peak <= limit]
    return [*best, *((one, None) for one in unknown if limit is None)]
