"""Which passes the press and the broach bear: one broach in one bore, the same for every bushing and every drawer.

Everything here is in readings (nm), so that what was found once serves all bushings of a broach.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from broachplan.cut.load import LoadModel, PassLoad, largest_that, whole_newtons
from broachplan.cut.section import Section
from broachplan.cut.teeth import Teeth
from broachplan.planner.presses import ANY_FORCE, MostForce


class Bearing:
    """The rules on press and column for passes of one broach.

    ``model`` gives the loads; ``most`` is what the strongest press allows: no press allows a pass that this one does not.
    It and ``heed_column`` can be lifted to find out which rule it is that refuses. ``start_nm`` is the metal that the first pass finds, above the bore; None: the bare
    bore. A ``ceiling`` is a peak in whole newtons that a pass must not exceed; None: no other limit than the rules.
    """

    def __init__(
        self,
        model: LoadModel,
        section: Section,
        teeth: Teeth,
        most: MostForce = ANY_FORCE,
        *,
        heed_column: bool = True,
        start_nm: int | None = None,
    ) -> None:
        self.model = model
        self.most = most
        self.heed_column = heed_column
        self._start_nm = start_nm
        self._section = section
        self._teeth = teeth
        self._sure: dict[int | None, int] = {}
        self._farthest: dict[int | None, list[int]] = {}
        self._from_disorder: dict[int | None, int] = {}

    @cached_property
    def without_press(self) -> Bearing:
        """The same with any press."""
        return self._with(ANY_FORCE, heed_column=self.heed_column)

    @cached_property
    def without_press_and_column(self) -> Bearing:
        """The same with any press and a broach that never buckles."""
        return self._with(ANY_FORCE, heed_column=False)

    @property
    def without_column(self) -> Bearing:
        """The same with a broach that never buckles."""
        return self._with(self.most, heed_column=False)

    def _with(self, most: MostForce, *, heed_column: bool) -> Bearing:
        return Bearing(
            self.model, self._section, self._teeth, most, heed_column=heed_column, start_nm=self._start_nm
        )

    def bears(self, load: PassLoad, ceiling: int | None = None) -> bool:
        """Whether a pass of that load is allowed."""
        # The low peak is worked out only where the high one leaves it in doubt.
        return (
            load.peak_n <= self.most.high_n
            and (load.peak_n * self.model.low_share <= self.most.low_n or load.low_peak_n <= self.most.low_n)
            and (load.column_holds or not self.heed_column)
            and (ceiling is None or whole_newtons(load.peak_n) <= ceiling)
        )

    def load(self, before: int | None, after: int) -> PassLoad:
        """The load of the pass from a reading (None: the bare bore) to another."""
        if before is not None and before == self._start_nm:
            # All above the bore: only the step counts, and it is weighed as `sure_step` weighs it.
            return self.model.above_bore(after - before)
        return self.model.of_pass(after - self._teeth.last_nm, before)

    @cached_property
    def peak_of_any_pass(self) -> int:
        """A peak in whole newtons that no pass of this broach exceeds."""
        above = self.model.above_bore(self._teeth.advance_nm)
        if self._start_nm is not None:
            return whole_newtons(above.peak_n)
        first = self.load(None, self._deepest_first)
        return whole_newtons(max(first.peak_n, above.peak_n))

    def sure_step(self, ceiling: int | None = None) -> int:
        """The longest step that is borne wherever it starts: chips are nowhere wider than above the bore."""
        found = self._sure.get(ceiling)
        if found is None:
            above = self.model.above_bore
            found = largest_that(
                lambda step: self.bears(above(step), ceiling),
                *_between(self._sure, ceiling, 1, self._teeth.advance_nm),
            )
            self._sure[ceiling] = found
        return found

    def least_ceiling(self, passes: int, reading: int) -> int:
        """The least ceiling with which so many passes might come to a reading, whatever shims there are."""
        low, high = 0, self.peak_of_any_pass
        while low < high:
            # The roundest number between them, so that other readings ask for the same ceilings.
            shift = (low ^ high).bit_length() - 1
            middle = min(high >> shift << shift, high - 1)
            if self.farthest(passes, middle) >= reading:
                high = middle
            else:
                low = middle + 1
        return high

    def passes_to(self, reading: int) -> int | None:
        """How many passes it takes at least to come to a reading, whatever shims there are; None where none do."""
        passes, bore = 1, self._section.bore_lower.nm
        while (far := self.farthest(passes)) < reading:
            if far >= bore:
                # From here on every pass goes one sure step farther, or what a pass from the corners went at most.
                step = self.sure_step()
                return passes + -(-(reading - far) // step) if step else None
            if not far or (passes > 1 and far == self.farthest(passes - 1)):
                return None
            passes += 1
        return passes

    def farthest(self, passes: int, ceiling: int | None = None) -> int:
        """A reading that ``passes`` passes cannot go past, whatever shims there are; 0 where not even pass 1 is borne."""
        far = self._farthest.setdefault(ceiling, [])
        while len(far) < passes:
            far.append(self.farther(far[-1], ceiling) if far else self._farthest_first(ceiling))
        return far[passes - 1]

    @property
    def _deepest_first(self) -> int:
        """The reading of pass 1 with the first tooth one rise past first metal."""
        teeth = self._teeth
        return self._section.highest_within_a_rise(teeth.rise) - teeth.first_nm + teeth.last_nm

    def _farthest_first(self, ceiling: int | None) -> int:
        """The surface before pass 1 is always the same, so its load grows with its reading."""
        if self._start_nm is not None:
            step = self.sure_step(ceiling)
            return self._start_nm + step if step else 0
        least = self._section.first_metal_floor_nm + 1
        known = {other: far[0] for other, far in self._farthest.items() if far}
        far = largest_that(
            lambda reading: self.bears(self.load(None, reading), ceiling),
            *_between(known, ceiling, least, self._deepest_first),
        )
        return far if far >= least else 0

    def farther(self, reading: int, ceiling: int | None = None) -> int:
        """The farthest that one more pass goes from any surface up to ``reading``."""
        if not reading:
            return 0
        if self._start_nm is not None:
            return reading + self.sure_step(ceiling)
        just_past = self._farthest_from_disorder(ceiling)
        if reading <= self.model.orderly_from_nm:
            return just_past
        # In the orderly part a higher surface never loads the press more: the last one leads farthest.
        if reading >= self._section.bore_lower.nm:
            return max(just_past, reading + self.sure_step(ceiling))
        most = reading + self._teeth.advance_nm
        far = largest_that(lambda after: self.bears(self.load(reading, after), ceiling), reading + 1, most)
        return max(just_past, far)

    def _farthest_from_disorder(self, ceiling: int | None) -> int:
        """No pass leads farther from a surface just past first metal, where the load may grow with the surface."""
        found = self._from_disorder.get(ceiling)
        if found is None:
            low, high = self._section.first_metal_floor_nm, self.model.orderly_from_nm
            last = self._teeth.last_nm
            found = largest_that(
                lambda after: self.bears(self.model.least_over(after - last, low, high), ceiling),
                *_between(self._from_disorder, ceiling, low + 1, high + self._teeth.advance_nm),
            )
            self._from_disorder[ceiling] = found
        return found


def _between(known: Mapping[int | None, int], ceiling: int | None, low: int, high: int) -> tuple[int, int]:
    """Where to look between ``low`` and ``high``: what a lower ceiling allows is allowed, what a higher one forbids is not."""
    for other, found in known.items():
        if ceiling is None or (other is not None and other < ceiling):
            low = max(low, found)
        else:
            high = min(high, found)
    return low, high
