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
    """The figures of a fully measured broach as the cut needs them, in nm."""

    first_nm: int
    last_nm: int
    rising: int
    total: int
    pitch_nm: int
    rise: Fraction

    @classmethod
    def of(cls, broach: Broach) -> Teeth:
        """The teeth of a broach; `InputError` when a needed figure is not measured."""
        first, last, pitch = broach.first_tooth_height, broach.last_tooth_height, broach.tooth_pitch
        rising, total, rise = broach.rising_teeth, broach.teeth, broach.rise
        if first is None or last is None or pitch is None or rising is None or total is None or rise is None:
            raise InputError(f"{broach.tag}: not measured: {', '.join(broach.missing)}")
        return cls(first.nm, last.nm, rising, total, pitch.nm, rise)

    @property
    def advance_nm(self) -> int:
        """The most one pass may go past the one before: last less first tooth and one rise, floored to 1 nm."""
        return self.last_nm - self.first_nm + int(self.rise)

    def in_cut(self, cut_length: Length) -> int:
        """Most teeth in the cut at once: floor(L/P) + 1, or L/P where that is whole."""
        whole, rest = divmod(cut_length.nm, self.pitch_nm)
        return whole + 1 if rest else whole


@dataclass(frozen=True, slots=True)
class Bites:
    """What the teeth take in one pass: lengths rounded half-even to 1 nm."""

    first: Length
    largest: Length
    cutting: int


def bites(section: Section, teeth: Teeth, offset_nm: int, surface_nm: int | None) -> Bites:
    """The bites of one pass.

    Parameters
    ----------
    offset_nm : web plus shims, what lifts the broach's back off the far wall.
    surface_nm : reading before the pass; None before the first, when the corners stand at z1.
    """
    base = offset_nm + teeth.first_nm
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
