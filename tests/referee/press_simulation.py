"""A press, tooth by tooth: pushes a broach through a hub and watches what the teeth take.

Written from the picture of the work, without the planner's formulas: the hub is metal of a certain width at each
height, a tooth planes it down to its reach, and the force is what the teeth inside the hub need at that moment.
Heights are nanometres from the wall opposite the keyway; areas mm2, forces N.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import sqrt
from typing import Protocol

from broachplan.tooling.hub import Hub
from broachplan.tooling.pieces import Broach, Bushing

NM_PER_MM = 1_000_000
SLICES = 32


class Law(Protocol):
    """What a chip costs, by its thickness."""

    def at(self, chip_mm: float) -> float:
        """kc in N/mm2."""


@dataclass(frozen=True)
class Chip:
    """What one tooth took: how thick in nm (0: nothing), its cross-section in mm2."""

    thickness: float
    area: float


@dataclass(frozen=True)
class Push:
    """What one push showed; ``chips`` of all teeth, first tooth first."""

    reading: int
    first_bite: float
    largest_bite: float
    teeth_cutting: int
    teeth_in_cut: int
    chips: tuple[Chip, ...]
    entered: tuple[range, ...]

    def force(self, law: Law) -> float:
        """Largest force in newtons while the broach went through."""
        return max(sum(self.entering(law, j)) for j in range(len(self.chips)))

    def entering(self, law: Law, tooth: int) -> Iterator[float]:
        """The forces on the teeth inside the hub at the moment ``tooth`` enters."""
        for i in self.entered[tooth]:
            chip = self.chips[i]
            yield law.at(chip.thickness / NM_PER_MM) * chip.area


class Metal:
    """The metal over the keyway's foot: a bored hub, the keyway's full width, planed down from below."""

    def __init__(self, bore: int, width: int) -> None:
        self.bore, self.width = bore, width
        self.surface = self._corners()

    def _corners(self) -> float:
        """The height at which a tooth as wide as the keyway first meets the bore, found by halving."""
        low, high = self.bore / 2, float(self.bore)
        for _ in range(100):
            middle = (low + high) / 2
            low, high = (middle, high) if self.wide(middle) <= 0 else (low, middle)
        return high

    def wide(self, height: float) -> float:
        """Width of metal in nm that a tooth meets at ``height``."""
        from_centre = height - self.bore / 2
        open_width = 2 * sqrt(max(self.bore**2 / 4 - from_centre**2, 0.0))
        return max(self.width - open_width, 0.0)

    def plane(self, reach: Fraction) -> Chip:
        """Take off everything below ``reach``; the surface rises to it."""
        if reach <= self.surface:
            return Chip(0.0, 0.0)
        low, self.surface = self.surface, float(reach)
        ends = [low, *([self.bore] if low < self.bore < reach else []), float(reach)]
        area = sum(self._sum(ends[i], ends[i + 1]) for i in range(len(ends) - 1))
        return Chip(float(reach) - low, area / NM_PER_MM**2)

    def _sum(self, low: float, high: float) -> float:
        """Simpson's rule in the square of the distance from the top: the width falls there as a square root."""
        if low >= self.bore:
            return (high - low) * self.width
        root = sqrt(high - low)
        step = root / SLICES
        total = 0.0
        for i in range(SLICES + 1):
            weight = 1 if i in (0, SLICES) else 4 if i % 2 else 2
            total += weight * self.wide(high - (i * step) ** 2) * 2 * i * step
        return total * step / 3


def simulate(hub: Hub, broach: Broach, bushing: Bushing, totals: Sequence[int]) -> list[Push]:
    """One push for each total of shims, in order."""
    metal = Metal(hub.bore.lower.nm, broach.keyway_width.nm)
    return [_push(metal, hub, broach, bushing.web.nm + total) for total in totals]


def _push(metal: Metal, hub: Hub, broach: Broach, lifted: int) -> Push:
    first, last = broach.first_tooth_height.nm, broach.last_tooth_height.nm
    rising = broach.rising_teeth
    heights = [first + Fraction((last - first) * i, rising - 1) for i in range(rising)]
    heights += [Fraction(last)] * (broach.finishing_teeth or 0)
    chips = tuple(metal.plane(lifted + height) for height in heights)
    thick = [chip.thickness for chip in chips]
    pitch, length = broach.tooth_pitch.nm, hub.length.nm * hub.stack
    return Push(
        reading=lifted + last,
        first_bite=thick[0],
        largest_bite=max(thick),
        teeth_cutting=sum(bite > 0 for bite in thick),
        teeth_in_cut=sum(k * pitch < length for k in range(length // pitch + 2)),
        chips=chips,
        entered=tuple(_inside(tooth, pitch, length) for tooth in range(len(chips))),
    )


def _inside(entering: int, pitch: int, length: int) -> range:
    """Teeth inside the hub when ``entering`` is at its face; one that is just leaving cuts no more."""
    deep = [i for i in range(entering + 1) if (entering - i) * pitch < length]
    return range(deep[0], entering + 1)
