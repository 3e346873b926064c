"""A broach's teeth in one pass: which of them cut, and how much each takes.

Everything is exact: reaches are whole nanometres plus a whole number of rises.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from broachplan.cut.section import Section
from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.tooling.pieces import Broach


@dataclass(frozen=True, slots=True)
class Teeth:
    """The figures of a broach as the cut needs them, in nm.

    Where the teeth were not counted, ``rising`` and ``total`` are None and ``rise`` counts as 0: the first tooth then
    may reach no further into a bore or past a surface than for any number of teeth. ``pitch_nm`` is None where the
    pitch is not known.
    """

    first_nm: int
    last_nm: int
    rising: int | None
    total: int | None
    pitch_nm: int | None
    rise: Fraction

    @classmethod
    def of(cls, broach: Broach) -> Teeth:
        """The teeth of a broach; `InputError` when a height is not measured."""
        first, last = broach.first_tooth_height, broach.last_tooth_height
        if first is None or last is None:
            raise InputError(broach.tag, f"not measured: {', '.join(broach.missing)}")
        pitch = broach.tooth_pitch
        return cls(
            first.nm,
            last.nm,
            broach.rising_teeth,
            broach.teeth,
            None if pitch is None else pitch.nm,
            broach.rise or Fraction(0),
        )

    @property
    def advance_nm(self) -> int:
        """The most one pass may go past the one before: last less first tooth and one rise, floored to 1 nm."""
        return self.last_nm - self.first_nm + int(self.rise)

    def in_cut(self, cut_length: Length) -> int | None:
        """Most teeth in the cut at once: floor(L/P) + 1, or L/P where that is whole; None where P is not known."""
        if self.pitch_nm is None:
            return None
        whole, rest = divmod(cut_length.nm, self.pitch_nm)
        return whole + 1 if rest else whole


@dataclass(frozen=True, slots=True)
class Bites:
    """What the teeth take in one pass: lengths rounded half-even to 1 nm.

    Of teeth that were not counted only the first tooth's bite is known.
    """

    first: Length
    largest: Length | None
    cutting: int | None


def bites(section: Section, teeth: Teeth, offset_nm: int, surface_nm: int | None) -> Bites:
    """The bites of one pass.

    Parameters
    ----------
    offset_nm : web plus shims, what lifts the broach's back off the far wall.
    surface_nm : reading before the pass; None before the first, when the corners are at z1.
    """
    base = offset_nm + teeth.first_nm
    if teeth.rising is None:
        found = section.first_metal if surface_nm is None else surface_nm
        return Bites(Length(max(0, round(base - found))), None, None)
    if surface_nm is None:
        in_air = section.teeth_short_of_metal(base, teeth.rise)
        surface = section.first_metal
    else:
        surface = Fraction(surface_nm)
        in_air = max(0, int((surface - base) // teeth.rise) + 1)
    cutting = max(0, teeth.rising - in_air)
    if not cutting:
        return Bites(Length(0), Length(0), 0)
    partial = base + in_air * teeth.rise - surface
    largest = max(partial, teeth.rise) if cutting > 1 else partial
    first = partial if in_air == 0 else Fraction(0)
    return Bites(Length(round(first)), Length(round(largest)), cutting)
