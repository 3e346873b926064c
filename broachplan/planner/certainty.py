"""How well all that a reading hangs on is known, for one hub: the pieces as they were measured, the play, the oil."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from broachplan.crib.records import Measurement
from broachplan.cut.budget import (
    Budget,
    PieceWithin,
    Stack,
    StackPart,
    StackReading,
    budget_after,
    budget_of,
    budget_read,
)
from broachplan.cut.how_measured import FINEST, Within, by_setting, within
from broachplan.cut.measure_first import MeasureFirst, OpenBand, measure_first
from broachplan.cut.play import Play
from broachplan.lengths import Length
from broachplan.settings import Settings
from broachplan.tooling.hub import Hub
from broachplan.tooling.pieces import Broach, Bushing, Piece, Shim

_NOTHING_KNOWN = Measurement()


class Setup(NamedTuple):
    """What one push is made with."""

    broach: Broach
    bushing: Bushing
    shims: tuple[Shim, ...]

    @property
    def plain(self) -> Length:
        """Web, shims and height over the last tooth: what the gauge reads where the bushing bears on the far wall."""
        assert self.bushing.web is not None
        assert self.broach.last_tooth_height is not None
        known = (shim.thickness for shim in self.shims if shim.thickness is not None)
        return sum(known, self.bushing.web + self.broach.last_tooth_height)


class PriorReading(NamedTuple):
    """What was read before: with which shims in, and how far from the plain reading (of two ends, their mean).

    ``doubtful``: the reading lay outside its band, widened on both sides by how far the gauge may be off.
    """

    shims: tuple[Shim, ...]
    offset: Length
    doubtful: bool = False


@dataclass(frozen=True, slots=True)
class Certainty:
    """One hub, the shop's settings, and how the pieces were measured, by tag; a tag that is not there: not known."""

    hub: Hub
    settings: Settings
    measured: Mapping[str, Measurement]

    @property
    def gauge(self) -> Within:
        """How far the gauge for the reading may be off, either way."""
        return by_setting("error_reading", self.settings)

    def within(self, piece: Piece) -> Within:
        """How far the figure of a piece may be off, either way."""
        how = self.measured.get(piece.tag, _NOTHING_KNOWN)
        return within(how.with_what, how.to, self.settings)

    def budget(self, setup: Setup, gauged: PriorReading | None = None) -> Budget:
        """The band of a push, and what it is made of: before any reading, or after one with the same two pieces."""
        if gauged is None:
            return budget_of(setup.plain.nm, self._stack(setup))
        return budget_after(setup.plain.nm, self._stack(setup), self._reading(gauged))

    def budget_read(self, reading: Length) -> Budget:
        """The band where nothing is left to do: the reading itself, and the gauge."""
        return budget_read(reading.nm, self.gauge)

    def first(self, setup: Setup, gauged: PriorReading | None = None) -> MeasureFirst | None:
        """What to measure first, so that the band of a push becomes narrower; None where nothing helps."""
        bore, in_middle = self.hub.bore, None
        if self.hub.bore_measured is None:
            assert setup.bushing.outside_diameter is not None
            in_middle = Fraction(bore.lower.nm + bore.upper.nm, 2) - setup.bushing.outside_diameter.nm
        read = self._reading(gauged) if gauged else None
        finest = by_setting(FINEST, self.settings)
        return measure_first(OpenBand(setup.plain.nm, self._stack(setup), in_middle, finest, read))

    def play(self, bushing: Bushing) -> Play:
        """The play of a bushing that goes into the bore."""
        assert bushing.outside_diameter is not None
        room = self.hub.widest_bore - bushing.outside_diameter
        return Play.of(room.nm, self.hub.cut_length.nm, bushing.length.nm if bushing.length else None)

    def _stack(self, setup: Setup) -> Stack:
        return Stack(
            pieces=(
                self._known(StackPart.BROACH, setup.broach),
                self._known(StackPart.BUSHING, setup.bushing),
            ),
            shims=self._shims(setup.shims),
            play=self.play(setup.bushing),
            film=by_setting("joint_film", self.settings),
        )

    def _reading(self, gauged: PriorReading) -> StackReading:
        return StackReading(self._shims(gauged.shims), gauged.offset.nm, self.gauge, gauged.doubtful)

    def _shims(self, shims: Sequence[Shim]) -> tuple[PieceWithin, ...]:
        return tuple(self._known(StackPart.SHIM, shim) for shim in shims)

    def _known(self, what: StackPart, piece: Piece) -> PieceWithin:
        return PieceWithin(what, piece.tag, self.within(piece))
