"""Which pieces to measure again, because run after run reads off to the same side.

A hint and no rule; that three standard errors decide is from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from broachplan.lengths import Length
from broachplan.runs.offsets import last_offsets
from broachplan.runs.state import RunState

LEAST_RUNS = 5
_ERRORS = 3


@dataclass(frozen=True, slots=True)
class LastReading:
    """The last reading of a run: the offset in nm, and the tags of what made up its plain reading."""

    run: int
    offset: Fraction
    tags: frozenset[str]


@dataclass(frozen=True, slots=True)
class DueForMeasuring:
    """A piece that reads off to the same side: by how much on average, half-even, over how many runs."""

    tag: str
    mean: Length
    runs: int


def last_reading_of(state: RunState) -> LastReading | None:
    """The reading taken last after a last pass; None where there is none."""
    found = []
    for load in state.begun.values():
        push = load.last_push
        if push is not None and load.through:
            tags = frozenset({push.broach, push.bushing, *push.shims})
            by_step = {one.step for one in push.readings}
            pairs = last_offsets(state, push.broach, push.bushing)
            found += [(step, offset, tags) for step, offset in pairs if step in by_step]
    if not found:
        return None
    _, offset, tags = max(found, key=lambda one: one[0])
    return LastReading(state.run.number, offset, tags)


def due_for_measuring(
    readings: Iterable[LastReading], shares: Mapping[str, Fraction]
) -> tuple[DueForMeasuring, ...]:
    """The pieces in the last readings of at least five runs whose mean offset is over three standard errors.

    Parameters
    ----------
    readings : the last reading of each run.
    shares : what each piece has of the band; the largest share comes first, then the tag.

    |mean| > 3 s/sqrt(n), with s^2 = sum of (e - mean)^2/(n - 1), is compared in whole squares.
    """
    of_piece: dict[str, list[Fraction]] = {}
    for one in readings:
        for tag in one.tags:
            of_piece.setdefault(tag, []).append(one.offset)
    found = [
        DueForMeasuring(tag, Length(round(sum(offsets, Fraction(0)) / len(offsets))), len(offsets))
        for tag, offsets in of_piece.items()
        if _off(offsets)
    ]
    return tuple(sorted(found, key=lambda one: (-shares.get(one.tag, Fraction(0)), one.tag)))


def _off(offsets: list[Fraction]) -> bool:
    n, total, squares = len(offsets), sum(offsets), sum(one * one for one in offsets)
    return n >= LEAST_RUNS and total * total * (n - 1) > _ERRORS**2 * (n * squares - total * total)
