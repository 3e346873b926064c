"""The load of one pass: a chip a tooth, kc times its area, summed over the teeth in the cut at once.

Forces are newtons in floats: everything a plan compares exactly is a length.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from math import inf, pi

from broachplan.cut.section import Section
from broachplan.cut.teeth import Teeth
from broachplan.lengths import NM_PER_MM
from broachplan.settings import Settings
from broachplan.standards.constants import GULLET_PARTS, MODULUS, ROOT_STRESS, THINNEST_CHIP
from broachplan.tooling.materials import ForceLaw
from broachplan.tooling.pieces import Broach

_CELLS = 128


@dataclass(frozen=True, slots=True)
class BroachColumn:
    """The broach as a strut between ram and hub, for each tooth that enters."""

    critical_n: tuple[float, ...]
    root_n: float

    def allowed(self, tooth: int, safety: float) -> float:
        """The most force while ``tooth`` enters: critical load over safety, never above the root's stress."""
        return min(self.critical_n[tooth] / safety, self.root_n)

    @classmethod
    def of(cls, broach: Broach, teeth: Teeth, ends: float) -> BroachColumn | None:
        """The strut with end-condition constant ``ends``, or None when a figure it needs is not known.

        Source: Euler's column, C pi^2 E I / l^2 (Shigley's Mechanical Engineering Design, column with central loading).
        """
        root, front, overall = broach.root_height, broach.front_length, broach.overall_length
        body, width = broach.body_width, broach.keyway_width
        if root is None or front is None or overall is None or body is None or width is None:
            return None
        pitch_nm, total = teeth.pitch_nm, teeth.total
        if pitch_nm is None or total is None:
            return None
        b, r = min(body.in_mm, width.in_mm), root.in_mm
        inertia = min(b * r**3, r * b**3) / 12
        free_nm = overall.nm - front.nm
        stiff = ends * pi**2 * MODULUS.value * inertia
        lengths = ((free_nm - tooth * pitch_nm) / NM_PER_MM for tooth in range(total))
        return cls(tuple(stiff / l_mm**2 if l_mm > 0 else inf for l_mm in lengths), b * r * ROOT_STRESS.value)


@dataclass(frozen=True)
class PassLoad:
    """The load of a pass: its peak, the least column ratio (critical load over force) and whether the column holds.

    ``low_peak_n`` is the peak by the model's low law, worked out when it is asked for.
    """

    peak_n: float
    column_ratio: float
    column_holds: bool
    low: Callable[[], float] | None = field(default=None, repr=False, compare=False)

    @cached_property
    def low_peak_n(self) -> float:
        """Peak by the low law in newtons; the same as ``peak_n`` where the model has one law alone."""
        return self.peak_n if self.low is None else self.low()


class LoadModel:
    """Loads of one broach in one bore for one law of cutting force (``factor`` times ``law``).

    ``low`` is the model of the same teeth by the low law. What was asked once is kept: the searches over many drawers and bushings ask for the same passes again and again.
    """

    def __init__(
        self,
        section: Section,
        teeth: Teeth,
        in_cut: int,
        law: ForceLaw,
        *,
        factor: float = 1.0,
        column: BroachColumn | None = None,
        settings: Settings | None = None,
        low: LoadModel | None = None,
    ) -> None:
        assert teeth.rising is not None
        assert teeth.total is not None
        self._section = section
        self._teeth = teeth
        self._rising, self._total = teeth.rising, teeth.total
        self._in_cut = in_cut
        self._law = law
        self._factor = factor
        self._column = column
        self._low = low
        self._safety = float((settings or Settings()).column_safety)
        self._allowed_n = (
            tuple(column.allowed(tooth, self._safety) for tooth in range(self._total)) if column else ()
        )
        self._rise_mm = float(teeth.rise / NM_PER_MM)
        self._full_n = self._chip_n(section.bore_mm, section.bore_mm + self._rise_mm)
        self._of_pass: dict[tuple[int, int | None], PassLoad] = {}
        self._least_over: dict[tuple[int, int, int], PassLoad] = {}
        self._above_bore: dict[int, PassLoad] = {}

    @cached_property
    def orderly_from_nm(self) -> int:
        """From this surface on, a higher surface before one and the same pass never loads the press more.

        A tooth's load h^-mc x (metal over h) falls as the surface rises while mc times the mean width of its chip
        is at most the width at the surface. Widths grow upward, so a cell is safe when mc times the width one
        rise above its top is at most the width at its bottom.
        """
        if self._low is not None:
            return max(self._orderly_from_nm, self._low.orderly_from_nm)
        return self._orderly_from_nm

    @cached_property
    def low_share(self) -> float:
        """No peak by the low law is above this share of the peak by this law."""
        if self._low is None:
            return 1.0
        # Of two powers of the chip, one over the other only grows or only falls.
        thickest = max(self._rise_mm, self._teeth.advance_nm / NM_PER_MM)
        ratios = (self._low._kc(chip) / self._kc(chip) for chip in (THINNEST_CHIP.value, thickest))
        return max(ratios) * (1 + 1e-9)

    @property
    def column_bears_n(self) -> float:
        """The most force while the first tooth enters, when the free length is longest; infinite where not known."""
        return inf if self._column is None else self._column.allowed(0, self._safety)

    @property
    def _orderly_from_nm(self) -> int:
        low, high = self._section.first_metal_mm, self._section.bore_mm
        widths = self._section.metal_width_mm
        edges = [low + (high - low) * i / _CELLS for i in range(_CELLS + 1)]
        safe = _CELLS
        while safe and self._law.mc * widths(edges[safe] + self._rise_mm) <= widths(edges[safe - 1]):
            safe -= 1
        return int(edges[safe] * NM_PER_MM) + 1

    def of_pass(self, offset_nm: int, surface_nm: int | None) -> PassLoad:
        """The load of a pass; arguments as in `cut.teeth.bites`."""
        found = self._of_pass.get((offset_nm, surface_nm))
        if found is None:
            surface = self._section.first_metal_mm if surface_nm is None else surface_nm / NM_PER_MM
            base = (offset_nm + self._teeth.first_nm) / NM_PER_MM
            lower = self._low
            low = None if lower is None else (lambda: lower.of_pass(offset_nm, surface_nm).peak_n)
            found = self._over_teeth(self._forces(base, surface), low)
            self._of_pass[offset_nm, surface_nm] = found
        return found

    def least_over(self, offset_nm: int, low_nm: int, high_nm: int) -> PassLoad:
        """A load that the pass at ``offset_nm`` reaches on every surface from ``low_nm`` to ``high_nm``.

        In the orderly part that of the highest. Below it each chip is weighed as the thickest of the least metal, so the
        narrower the surfaces the closer this is to `most_over`.
        """
        if low_nm == high_nm or low_nm >= self.orderly_from_nm:
            return self.of_pass(offset_nm, high_nm)
        found = self._least_over.get((offset_nm, low_nm, high_nm))
        if found is None:
            low, high = low_nm / NM_PER_MM, high_nm / NM_PER_MM
            forces, chips = self._from_any_of(offset_nm, low, high)
            for tooth, bottom, reach in chips:
                forces[tooth] = self._chip_n(high, reach, thick_mm=reach - bottom)
            lower = self._low
            law = None if lower is None else (lambda: lower.least_over(offset_nm, low_nm, high_nm).peak_n)
            self._least_over[offset_nm, low_nm, high_nm] = found = self._over_teeth(forces, law)
        return found

    def most_over(self, offset_nm: int, low_nm: int, high_nm: int) -> PassLoad:
        """A load that the pass at ``offset_nm`` exceeds on no surface from ``low_nm`` to ``high_nm``.

        In the orderly part that of the lowest. Below it each chip is weighed as the thinnest of the most metal.
        """
        if low_nm == high_nm or low_nm >= self.orderly_from_nm:
            return self.of_pass(offset_nm, low_nm)
        low, high = low_nm / NM_PER_MM, high_nm / NM_PER_MM
        forces, chips = self._from_any_of(offset_nm, low, high)
        for tooth, bottom, reach in chips:
            forces[tooth] = self._chip_n(bottom, reach, thick_mm=reach - high)
        lower = self._low
        law = None if lower is None else (lambda: lower.most_over(offset_nm, low_nm, high_nm).peak_n)
        return self._over_teeth(forces, law)

    def _from_any_of(
        self, offset_nm: int, low: float, high: float
    ) -> tuple[list[float], list[tuple[int, float, float]]]:
        """Forces from the highest surface, and which teeth cut another chip from a lower one: from where, to where.

        Teeth that start above all these surfaces cut the same from each of them.
        """
        base = (offset_nm + self._teeth.first_nm) / NM_PER_MM
        chips = []
        for tooth in range(self._rising):
            reach = base + tooth * self._rise_mm
            before = reach - self._rise_mm if tooth else low
            if before >= high:
                break
            if reach > low:
                chips.append((tooth, max(low, before), reach))
        return self._forces(base, high), chips

    def above_bore(self, step_nm: int) -> PassLoad:
        """The load of a pass that goes ``step_nm`` past the one before, all above the bore's far side.

        There every chip is as wide as the broach, so this also bounds any pass of that step from above.
        """
        found = self._above_bore.get(step_nm)
        if found is None:
            surface = self._section.bore_mm
            last = surface + step_nm / NM_PER_MM
            base = last - (self._rising - 1) * self._rise_mm
            lower = self._low
            low = None if lower is None else (lambda: lower.above_bore(step_nm).peak_n)
            self._above_bore[step_nm] = found = self._over_teeth(self._forces(base, surface), low)
        return found

    def _forces(self, base: float, surface: float) -> list[float]:
        """Force of each tooth, first to last; finishing teeth find nothing left."""
        rise, bore, full = self._rise_mm, self._section.bore_mm, self._full_n
        forces = [0.0] * self._total
        start = max(0, min(self._rising, int((surface - base) / rise) - 1))
        for tooth in range(start, self._rising):
            reach = base + tooth * rise
            if reach <= surface:
                continue
            before = reach - rise
            if tooth and before >= bore and before >= surface:
                forces[tooth] = full
            else:
                forces[tooth] = self._chip_n(before if tooth and before > surface else surface, reach)
        return forces

    def _chip_n(self, low_mm: float, high_mm: float, thick_mm: float | None = None) -> float:
        area = self._section.area_mm2(low_mm, high_mm)
        return self._kc(high_mm - low_mm if thick_mm is None else thick_mm) * area if area else 0.0

    def _kc(self, thick_mm: float) -> float:
        return self._factor * self._law.at(thick_mm)

    def _over_teeth(self, forces: list[float], low: Callable[[], float] | None) -> PassLoad:
        """Slide over the teeth: with tooth j just in, the m teeth up to j cut together."""
        in_cut, allowed = self._in_cut, self._allowed_n
        critical = self._column.critical_n if self._column is not None else ()
        peak, ratio, holds, sum_n = 0.0, inf, True, 0.0
        for tooth, force in enumerate(forces):
            sum_n += force
            if tooth >= in_cut:
                sum_n -= forces[tooth - in_cut]
            if sum_n > peak:
                peak = sum_n
            if critical and sum_n > 0.0:
                if critical[tooth] / sum_n < ratio:
                    ratio = critical[tooth] / sum_n
                if sum_n > allowed[tooth]:
                    holds = False
        return PassLoad(peak, ratio, holds, low)


def largest_that(holds: Callable[[int], bool], low: int, high: int) -> int:
    """The largest whole number in low..high for which ``holds`` is true, when it holds up to some point; low - 1 if none."""
    if low > high or not holds(low):
        return low - 1
    if holds(high):
        return high
    while high - low > 1:
        middle = (low + high) // 2
        if holds(middle):
            low = middle
        else:
            high = middle
    return low


def whole_newtons(force: float) -> int:
    """A force rounded half-even to whole newtons, as plans compare it."""
    return round(force)


def teeth_room(broach: Broach, teeth: Teeth) -> tuple[int, int] | None:
    """Gullet area as a ratio in nm2: measured, or P^2/9 where it is not known.

    None where pitch or number of teeth are not known, so that no chip is known either.
    """
    if teeth.pitch_nm is None or teeth.rising is None:
        return None
    if broach.gullet_area is not None:
        return broach.gullet_area.nm2, 1
    return teeth.pitch_nm**2, int(GULLET_PARTS.value)
