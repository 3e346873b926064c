"""Where a reading may come out: what is measured is known to within something, oil lies in the joints, a bushing has play.

The plain reading holds where the back of the bushing bears on the wall opposite the keyway, as the cut presses it. The
figures of the pieces, the oil in the joints and the gauge are random, each uniform between its ends, and their sum has
exact quantiles. The play is no random term but an unknown between its bounds: a band holds whatever it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from typing import NamedTuple

from broachplan.cut.how_measured import Within
from broachplan.cut.play import Play, Span
from broachplan.cut.quantiles import quantile

# 95 readings of 100 lie within a band; where two bands meet, each holds 97.5 of 100, so that 95 lie within both.
_ONE = 40
_EACH_OF_TWO = 80


class StackPart(StrEnum):
    """What a term of a reading belongs to."""

    BROACH = "broach"
    BUSHING = "bushing"
    RING = "ring"
    SHIM = "shim"
    BORE = "bore"
    JOINT = "joint"
    GAUGE = "gauge"


class PieceWithin(NamedTuple):
    """A piece of the stack, and how far its figure may be off."""

    what: StackPart
    tag: str
    within: Within


class Term(NamedTuple):
    """A random part of a reading, uniform from one end to the other, in nm; ``tag`` None where no piece has it."""

    what: StackPart
    tag: str | None
    from_nm: int
    to_nm: int
    source: str

    @property
    def width(self) -> int:
        """From one end to the other."""
        return self.to_nm - self.from_nm


@dataclass(frozen=True, slots=True)
class Stack:
    """What holds the broach off the wall opposite the keyway.

    ``pieces`` are the ones that stay from pass to pass: broach, bushing, and a ring around the bushing where there is
    one; ``shims`` those of this pass; ``film`` the most that oil adds in one joint.
    """

    pieces: tuple[PieceWithin, ...]
    shims: tuple[PieceWithin, ...]
    play: Play
    film: Within

    @property
    def joints(self) -> int:
        """Joints with oil: between slot floor, shims and broach, and one with the ring; that at the wall is in the play."""
        return len(self.shims) + 1 + sum(piece.what is StackPart.RING for piece in self.pieces)


class StackReading(NamedTuple):
    """What was read on a stack: ``offset`` is the reading less its plain figure (of two ends, of their mean).

    ``gauge`` is how far the gauge may be off either way; ``doubtful`` whether the reading lay outside its band, widened
    by that on both sides.
    """

    shims: tuple[PieceWithin, ...]
    offset: int
    gauge: Within
    doubtful: bool = False


@dataclass(frozen=True, slots=True)
class Budget:
    """The band of a reading, and what it is made of; all in nm.

    ``expected`` is what the gauge should read; ``low`` and ``high`` are the band of the reading in the middle of the hub.
    ``gap`` is what the play may add there, ``top`` and ``bottom`` at the two ends of the hub.
    """

    expected: int
    terms: tuple[Term, ...]
    gap: Span
    top: Span
    bottom: Span
    low: int
    high: int

    @property
    def width(self) -> int:
        """From one end of the band to the other."""
        return self.high - self.low

    @property
    def ends(self) -> Span:
        """The least and the most that there can be, with every term and the play at its end."""
        return Span(
            self.expected + sum(term.from_nm for term in self.terms) + self.gap.least,
            self.expected + sum(term.to_nm for term in self.terms) + self.gap.most,
        )

    @property
    def shares(self) -> tuple[Fraction, ...]:
        """What each term has of the spread: the square of its width over the sum of the squares."""
        squares = [term.width**2 for term in self.terms]
        return tuple(Fraction(square, sum(squares) or 1) for square in squares)

    def holds(self, reading: int, gauge: int = 0) -> bool:
        """Whether a reading lies in the band, widened on both sides by how far the gauge may be off."""
        return self.low - gauge <= reading <= self.high + gauge


def budget_of(plain: int, stack: Stack) -> Budget:
    """The band of a pass before anything was read; ``plain`` is web, ring, shims and last tooth height together."""
    terms = (*map(_either_way, (*stack.pieces, *stack.shims)), *_films(stack, stack.film.nm))
    play = stack.play
    band = _band(plain, terms, play.middle, _ONE)
    return Budget(plain, terms, play.middle, play.top, play.bottom, *band)


def budget_after(plain: int, stack: Stack, read: StackReading) -> Budget:
    """The band of a stack after a reading on another one, or on itself, with the same broach and bushing.

    What is in both stacks cancels. What was in only one of them may be off either way, the oil of both and the gauge
    count, and the play may be another one than it was. The band is where this meets the band before any reading, for a
    reading never makes anyone less sure; where the reading is doubtful, or the two do not meet, it is this one alone.
    """
    shims = _in_one_alone(stack.shims, read.shims)
    was = replace(stack, shims=read.shims)
    gauge = Term(StackPart.GAUGE, None, -read.gauge.nm, read.gauge.nm, read.gauge.source)
    terms = (
        *map(_either_way, shims),
        *_films(stack, stack.film.nm),
        *_films(was, -stack.film.nm),
        *([gauge] if gauge.width else []),
    )
    gap, top, bottom = (
        Span(-bounds.width, bounds.width) for bounds in (stack.play.middle, stack.play.top, stack.play.bottom)
    )
    expected = plain + read.offset
    band = _band(expected, terms, gap, _ONE)
    if not read.doubtful:
        before = budget_of(plain, stack)
        one = _band(expected, terms, gap, _EACH_OF_TWO)
        other = _band(plain, before.terms, before.gap, _EACH_OF_TWO)
        meeting = Span(max(one.least, other.least), min(one.most, other.most))
        band = meeting if meeting.least <= meeting.most else band
    return Budget(expected, terms, gap, top, bottom, *band)


def budget_read(reading: int, gauge: Within) -> Budget:
    """The band where nothing is left to do: what was read, and how far the gauge may be off."""
    term = Term(StackPart.GAUGE, None, -gauge.nm, gauge.nm, gauge.source)
    none = Span(0, 0)
    return Budget(reading, (term,), none, none, none, reading - gauge.nm, reading + gauge.nm)


def _in_one_alone(these: Iterable[PieceWithin], those: Iterable[PieceWithin]) -> list[PieceWithin]:
    """The shims of one stack that the other does not have, by tag."""
    one, other = ({shim.tag: shim for shim in stack} for stack in (these, those))
    return [shim for tag, shim in sorted((one | other).items()) if (tag in one) != (tag in other)]


def _either_way(piece: PieceWithin) -> Term:
    return Term(piece.what, piece.tag, -piece.within.nm, piece.within.nm, piece.within.source)


def _films(stack: Stack, film: int) -> Iterator[Term]:
    if film:
        for _ in range(stack.joints):
            yield Term(StackPart.JOINT, None, min(film, 0), max(film, 0), stack.film.source)


def _band(reading: int, terms: Iterable[Term], gap: Span, parts: int) -> Span:
    """The band that leaves out one reading of ``parts`` at each side."""
    terms = tuple(terms)
    widths = [term.width for term in terms]
    least = reading + sum(term.from_nm for term in terms)
    return Span(
        least + quantile(widths, 1, parts) + gap.least, least + quantile(widths, parts - 1, parts) + gap.most
    )
