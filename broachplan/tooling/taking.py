"""How a figure is taken: on which side of the piece, between which two places, with what kind of anvils."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from broachplan.tooling.seen import Point, Seen


class Touch(StrEnum):
    """What touches the two places."""

    FLAT = "flat anvils from outside"
    BALL = "a flat anvil on the first place, a ball on the second"
    WITHIN = "anvils spread from within"
    RULE = "a rule or caliper laid below, from one place to the other"
    OVER = "a caliper laid over the top, from one place to the other"
    ACROSS = "a rule laid straight from one place to the other"
    COUNTED = "counted from one place to the other"
    TRACED = "traced round"
    READ_OFF = "read where it is written"


@dataclass(frozen=True, slots=True)
class Taking:
    """One way to take a figure.

    ``first`` and ``second`` name two places of what is ``seen``; the figure is their distance, or what is counted or
    lies between them. ``also`` is a sentence beyond the figure's own ``how``: what spoils the reading.
    """

    seen: Seen
    touch: Touch
    first: str
    second: str = ""
    also: str = ""

    @property
    def places(self) -> tuple[tuple[str, Point], ...]:
        """The places with their names, in the order in which a drawing numbers them."""
        names = (self.first, self.second) if self.second else (self.first,)
        return tuple((name, self.seen.points[name]) for name in names)
