"""What to measure first: the one thing that, measured better, narrows the band of a reading most."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import NamedTuple

from broachplan.cut.budget import Budget, PieceWithin, Stack, StackPart, StackReading, budget_after, budget_of
from broachplan.cut.how_measured import Within
from broachplan.cut.play import Number

# Where two narrow the band alike, the one that is measured more easily comes first.
_ORDER = (StackPart.BORE, StackPart.BUSHING, StackPart.BROACH, StackPart.RING, StackPart.SHIM)


class MeasureFirst(NamedTuple):
    """What to measure first, its tag (None for the bore), and the width of the band now and then, in nm."""

    what: StackPart
    tag: str | None
    width: int
    then: int


@dataclass(frozen=True, slots=True)
class OpenBand:
    """A band that may become narrower.

    Parameters
    ----------
    room_in_middle : the play in a bore in the middle of its limits; None where the bore was measured already.
    finest : how far off a figure may be that is measured well.
    read : what was read before; None before any reading.
    """

    plain: int
    stack: Stack
    room_in_middle: Number | None
    finest: Within
    read: StackReading | None = None

    @property
    def budget(self) -> Budget:
        """The band as things are known."""
        if self.read is None:
            return budget_of(self.plain, self.stack)
        return budget_after(self.plain, self.stack, self.read)


def measure_first(asked: OpenBand) -> MeasureFirst | None:
    """What narrows the band most if it alone is measured; None where nothing narrows it."""
    now = asked.budget.width
    found = [MeasureFirst(what, tag, now, better.budget.width) for what, tag, better in _better(asked)]
    narrower = [one for one in found if one.then < now]
    return min(narrower, key=lambda one: (one.then, _ORDER.index(one.what), one.tag or ""), default=None)


def _better(asked: OpenBand) -> Iterator[tuple[StackPart, str | None, OpenBand]]:
    """What can be measured better, and what is known then."""
    stack, read = asked.stack, asked.read
    if asked.room_in_middle is not None:
        play = replace(stack.play, room=asked.room_in_middle)
        yield StackPart.BORE, None, replace(asked, stack=replace(stack, play=play))
    shims = (*stack.shims, *(read.shims if read else ()))
    for tag, piece in {one.tag: one for one in (*stack.pieces, *shims)}.items():
        if piece.within.nm <= asked.finest.nm:
            continue
        finer = piece._replace(within=asked.finest)
        better = replace(stack, pieces=_with(finer, stack.pieces), shims=_with(finer, stack.shims))
        again = read and read._replace(shims=_with(finer, read.shims))
        yield piece.what, tag, replace(asked, stack=better, read=again)


def _with(finer: PieceWithin, pieces: tuple[PieceWithin, ...]) -> tuple[PieceWithin, ...]:
    return tuple(finer if one.tag == finer.tag else one for one in pieces)
