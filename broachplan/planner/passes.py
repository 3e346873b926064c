"""What is asked of the passes: one broach in one bushing over one drawer of shims, and the reading to reach."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

from broachplan.cut.section import Section
from broachplan.cut.teeth import Teeth
from broachplan.planner.bearing import Bearing
from broachplan.planner.stacks import Totals
from broachplan.planner.starting_point import BARE_BORE, StartingPoint


@dataclass(frozen=True)
class Target:
    """The limits within which the last reading must come out, and twice the aim, in nm.

    ``narrowed`` is by how much they are closer than the drawing's limits, in whose tenths a reading is off the aim: two
    ends that read differently leave less room for their mean, or none.
    """

    lower: int
    upper: int
    twice_aim: int
    narrowed: int = 0

    @property
    def width(self) -> int:
        """The width of the drawing's limits."""
        return self.upper - self.lower + self.narrowed

    def off_aim(self, reading: int) -> int:
        """Twice the distance of a reading from the aim."""
        return abs(2 * reading - self.twice_aim)

    def tenths(self, reading: int) -> int:
        """Tenths of the limits' width that a reading is off the aim."""
        return 10 * self.off_aim(reading) // (2 * self.width) if self.width else 0

    def of_tenth(self, tenth: int) -> tuple[tuple[int, int], ...]:
        """The readings within the limits that are ``tenth`` tenths off: at most one interval on each side."""
        width = self.width
        if not width:
            return ((self.lower, self.upper),) if tenth == 0 else ()
        nearest = -(-2 * tenth * width // 10)
        farthest = -(-2 * (tenth + 1) * width // 10) - 1
        above = (-(-(self.twice_aim + nearest) // 2), (self.twice_aim + farthest) // 2)
        beneath = (-(-(self.twice_aim - farthest) // 2), (self.twice_aim - nearest) // 2)
        sides = [(max(low, self.lower), min(high, self.upper)) for low, high in (beneath, above)]
        return tuple([(low, high) for low, high in sides if low <= high])


@dataclass(frozen=True)
class PassProblem:
    """One broach in one bushing over one drawer of shims.

    ``web_nm`` is what lies under the shims: the bushing's web and the offset that a reading gave, so that readings are
    the expected ones. ``bearing`` holds the rules on load; None without a material.
    """

    section: Section
    teeth: Teeth
    web_nm: int
    totals: Totals
    target: Target
    bearing: Bearing | None = None
    start: StartingPoint = BARE_BORE

    @cached_property
    def first_lifts_nm(self) -> tuple[int, int]:
        """The least and greatest total of pass 1 in nm: past the metal there is, and the first tooth within one rise of it."""
        surface, web = self.start.surface_nm, self.web_nm
        if surface is not None:
            from_surface = surface - web - self.teeth.last_nm
            return max(0, from_surface + 1), from_surface + self.teeth.advance_nm
        web += self.start.uncounted_nm
        past = self.section.first_metal_floor_nm + 1 - web - self.teeth.last_nm
        enters = self.section.highest_within_a_rise(self.teeth.rise) - web - self.teeth.first_nm
        return max(0, past), enters

    @property
    def first_surface_nm(self) -> int:
        """The metal that the first of the passes finds, in whole nm: of a bare bore its corners."""
        surface = self.start.surface_nm
        return self.section.first_metal_floor_nm if surface is None else surface

    def obeyed_by(self, lifts_nm: Sequence[int]) -> bool:
        """Whether totals of these thicknesses, pass by pass, obey the rules on entry, bites, reading and load."""
        last = self.web_nm + self.teeth.last_nm
        low, high = self.first_lifts_nm
        if not (
            low <= lifts_nm[0] <= high
            and all(0 < b - a <= self.teeth.advance_nm for a, b in pairwise(lifts_nm))
            and self.target.lower <= last + lifts_nm[-1] <= self.target.upper
        ):
            return False
        bearing = self.bearing
        if bearing is None:
            return True
        readings = [last + lift for lift in lifts_nm]
        befores = (self.start.surface_nm, *readings[:-1])
        return all(
            bearing.bears(bearing.load(before, after))
            for before, after in zip(befores, readings, strict=True)
        )

    def without_load(self) -> PassProblem:
        """The same problem on geometry alone."""
        return replace(self, bearing=None)
