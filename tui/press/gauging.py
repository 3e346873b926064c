"""The way in which this station gauges: what the gauge should read, and what goes with a reading that is typed."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.cut.gauge_ways import GaugedBore, GaugeWay, Way, gauge_way
from broachplan.lengths import Length
from broachplan.runs.state import RunState

_BESIDE = {
    Way.INSIDE: "floor to far wall",
    Way.BLOCK: "over the block",
    Way.WALL: "depth at the side wall",
    Way.FLOOR: "floor to floor",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Gauging:
    """A way with the sizes that it needs; from floor to far wall unless another one was chosen."""

    way: Way = Way.INSIDE
    block: Length | None = None
    anvil: Length | None = None
    bore: Length | None = None
    other: Length | None = None

    @property
    def words(self) -> str:
        """From where to where is gauged."""
        return "flat anvils" if self.anvil else _BESIDE[self.way]

    def reads(self, state: RunState, t: Length) -> Length:
        """What the gauge should read where T is ``t``.

        Raises
        ------
        InputError : the way has no use on this hub, or lacks a size.
        """
        return self._on(state).reads(t)

    def t_of(self, state: RunState, read: Length) -> Length:
        """T, where the gauge reads ``read``; raises as `reads`."""
        return self._on(state).t_of(read)

    def _on(self, state: RunState) -> GaugeWay:
        run, load = state.run, state.current or state.load(len(state.loads))
        # The keyway is as wide as its broach cuts it.
        width = state.broach(load.to_do.broach).keyway_width or run.keyway.width.nominal
        bore = GaugedBore(run.hub.bore.nominal, self.bore or run.hub.bore_measured, width)
        return gauge_way(self.way, bore, block=self.block, anvil=self.anvil, other=self.other)
