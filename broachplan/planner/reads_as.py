"""Which stacks a doubtful reading reads like: the nearest of all that the slot takes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from heapq import merge
from itertools import groupby, islice

from broachplan.cut.play import Span
from broachplan.planner import bits
from broachplan.planner.answer import Shims
from broachplan.planner.stacks import Totals, totals_of
from broachplan.tooling.pieces import Shim

MOST_NAMED = 5


def nearest_stacks(
    shims: Sequence[Shim],
    stack_most: int,
    bare_nm: int,
    read_nm: int,
    holds: Callable[[Shims, int], bool],
    widest: Callable[[int], Span],
) -> tuple[Shims, ...]:
    """The stacks that may have been in, at most five: the nearest plain reading first, then fewest shims, then tags.

    Parameters
    ----------
    shims : all that the slot takes.
    bare_nm : the plain reading without a shim.
    holds : whether a stack may give a reading.
    widest : how far under and over its plain reading any stack of so many shims may read; it bounds the search.
    """
    spans = [widest(count) for count in range(stack_most + 1)]
    # A stack that reads `over` its plain figure at most has a plain figure that much under the reading at least.
    low = read_nm - bare_nm - max(over for _, over in spans)
    high = read_nm - bare_nm - min(under for under, _ in spans)
    totals = totals_of(shims, stack_most, max(high, 0))
    wanted = read_nm - bare_nm

    def off(place: int) -> int:
        return abs(wanted - totals.nm(place))

    def in_order(places: Sequence[int]) -> Iterator[Shims]:
        return merge(*(_of_total(totals, place, wanted, spans) for place in places), key=_few_then_tags)

    places = sorted(bits.members(totals.between(low, high)), key=off)
    alike = (in_order(list(group)) for _, group in groupby(places, off))
    found = (stack for stacks in alike for stack in stacks if holds(stack, read_nm))
    return tuple(islice(found, MOST_NAMED))


def _of_total(totals: Totals, place: int, wanted: int, spans: Sequence[Span]) -> Iterator[Shims]:
    """The stacks that make a total, fewest shims first, then by tags; only of so many shims as may read so."""
    nm = totals.nm(place)
    for count, (under, over) in enumerate(spans):
        if under <= wanted - nm <= over:
            yield from totals.stacks(nm, count)


def _few_then_tags(stack: Shims) -> tuple[int, list[str]]:
    return len(stack), [shim.tag for shim in stack]
