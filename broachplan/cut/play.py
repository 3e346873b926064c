"""What a bushing that is smaller than its bore can do: lift the broach, tilt it along the hub, set it off to a side."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

Number = int | Fraction


class Span(NamedTuple):
    """The least and the most of something, in whole nm."""

    least: int
    most: int

    @property
    def width(self) -> int:
        """How far apart they are."""
        return self.most - self.least


@dataclass(frozen=True, slots=True)
class Play:
    """The room that a bushing has in the bore, in nm.

    Parameters
    ----------
    room : bore less the outside diameter of the bushing, and of the ring around it where there is one; 0 or more.
    hub_length : length of the cut.
    guided : length over which bushing and bore face each other: the bushing's where the hub is longer, else the hub's.

    The back of the bushing may be off the wall opposite the keyway by any gap from 0 to ``room``, a at the collar's
    end and b at the end of the guided length, whatever the other is. In between, and beyond it where the hub is longer, the
    broach is straight: at y from the collar the gap is a + (b - a) y/guided. A gap lifts the broach toward the keyway, so
    it is depth; beyond the guided length the broach may also dip the other way.
    Source: geometry of a cylinder in a wider one.
    """

    room: Number
    hub_length: int
    guided: int

    def __post_init__(self) -> None:
        if self.room < 0 or self.hub_length <= 0 or not 0 < self.guided <= self.hub_length:
            raise ValueError("room is 0 or more, and the guided length above 0 and no longer than the hub")

    @classmethod
    def of(cls, room: Number, hub_length: int, bushing_length: int | None) -> Play:
        """The play of a bushing of a length; one whose length is not known is taken to guide the whole hub."""
        return cls(room, hub_length, min(bushing_length or hub_length, hub_length))

    @property
    def middle(self) -> Span:
        """How much deeper the keyway may come out in the middle of the hub, rounded half-even to 1 nm."""
        return self._deeper(Fraction(self.hub_length, 2 * self.guided))

    @property
    def top(self) -> Span:
        """The same at the collar's end of the hub."""
        return Span(0, round(self.room))

    @property
    def bottom(self) -> Span:
        """The same at the far end of the hub."""
        return self._deeper(Fraction(self.hub_length, self.guided))

    @property
    def ends_differ(self) -> int:
        """By how much the readings at the two ends of the hub may differ: |a - b| hub/guided, half-even to 1 nm."""
        return round(Fraction(self.hub_length, self.guided) * self.room)

    def off_centre(self, slot_clearance: int) -> int:
        """How far the keyway's middle may be off the bore's, in the middle of the hub; half-even to 1 nm.

        The broach lies anywhere in the slot, the bushing anywhere in the bore: half of each. In a hub of more than twice
        the guided length the middle lies beyond it, and a lean adds to that.
        """
        beyond = max(Fraction(1), Fraction(self.hub_length, self.guided) - 1)
        return round(Fraction(slot_clearance + self.room) / 2 * beyond)

    def lead(self, slot_clearance: int) -> int:
        """How far the keyway may lean to a side over the length of the hub; half-even to 1 nm."""
        return round(Fraction(self.hub_length, self.guided) * (slot_clearance + self.room))

    def _deeper(self, along: Fraction) -> Span:
        """a (1 - along) + b along, least and most over a and b: one of them at nothing, or both at the whole room."""
        if along <= 1:
            return Span(0, round(self.room))
        return Span(round((1 - along) * self.room), round(along * self.room))
