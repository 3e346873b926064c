"""All that the screen at the press knows of a run at one moment."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from broachplan.errors import InputError
from broachplan.lengths import Length, System, Units, units_of
from broachplan.planner.answer import Answer
from broachplan.runs.ahead import AheadPass
from broachplan.runs.next import Next
from broachplan.runs.run import Run
from broachplan.runs.state import LoadState, Outcome, RunState
from broachplan.sheets.sizes import unit_word
from broachplan.tooling.drive import Drive
from broachplan.tooling.pieces import Shim
from tui.plain import plain
from tui.press.gauging import Gauging
from tui.press.sight import Large
from tui.words import figure

_UNDECIDED = (Outcome.DISPUTED, Outcome.PAST)


@dataclass(frozen=True, slots=True, kw_only=True)
class PressView:
    """A run, what is next on it, and what its lists are filled with.

    ``people`` are the names known to the crib, ``by`` who is at the press; ``homes`` says where each piece lives,
    ``drives`` what drives a press, ``other``
    names the plan that could be taken instead; ``answer`` is what the planner said to the act before, which says what a
    doubtful reading looks like and what would help where there is no plan.
    """

    state: RunState
    next: Next | None
    people: tuple[str, ...] = ()
    by: str = ""
    homes: tuple[tuple[str, str], ...] = ()
    drives: Mapping[str, Drive] = field(default_factory=dict)
    other: tuple[tuple[Shim, ...], ...] = ()
    answer: Answer | None = None
    gauging: Gauging = Gauging()

    @classmethod
    def of(cls, result: Any, by: str, gauging: Gauging = Gauging(), acted: Any = None) -> PressView:
        """What a desk answered; ``acted`` is what came of the act before, which knows more of a reading."""
        return cls(
            state=result.state,
            next=result.next,
            people=result.people,
            by=by,
            gauging=gauging,
            homes=result.homes,
            drives=result.drives,
            other=result.other,
            answer=getattr(acted, "answer", None),
        )

    @property
    def drive(self) -> Drive:
        """What drives the press that the load is at."""
        press = self.load.to_do.press if self.load else None
        return self.drives.get(press or "", Drive.NOT_KNOWN)

    @property
    def run(self) -> Run:
        """The run as it was begun."""
        return self.state.run

    @property
    def due(self) -> tuple[AheadPass, ...]:
        """The passes to come on the load at the press; none where a decision or a reading comes first."""
        return self.next.ahead.passes if self.next else ()

    @property
    def system(self) -> System:
        """The system of units of the hub, whatever is shown elsewhere: bare digits are read in it."""
        return self.run.hub.system

    @property
    def units(self) -> Units:
        """The gauge's units: the hub's."""
        return units_of(self.system)

    @property
    def unit(self) -> str:
        """Their word."""
        return unit_word(self.units)

    @property
    def load(self) -> LoadState | None:
        """The load at the press: one with a hub to be decided on, one to be gauged, else the next one to be pushed."""
        for load in self.state.begun.values():
            if any(self.state.outcome(hub) in _UNDECIDED for hub in self.state.in_work(load)):
                return load
        number, hubs = self.state.to_gauge
        return self.state.load(number) if hubs else self.state.current

    @property
    def pass_number(self) -> int:
        """The pass that the load at the press is at: before a reading, or a decision on one, still the pass made last."""
        load = self.load
        if load is None or not load.passes:
            return 1
        undecided = any(self.state.outcome(hub) in _UNDECIDED for hub in self.state.in_work(load))
        about_it = undecided or self.state.to_gauge[0] == load.number
        return len(load.passes) + (0 if about_it else 1)

    @property
    def at(self) -> str:
        """``HUB 3, PASS 1``: where the run is; empty where no hub is at the press."""
        hubs = self.hubs_at_press
        return f"{self.hub_words(hubs)}, PASS {self.pass_number}" if hubs else ""

    @property
    def hubs_at_press(self) -> tuple[int, ...]:
        """The hubs of the load at the press, without those decided on; none where no hub is at the press."""
        load = self.load
        return () if load is None else self.state.in_work(load) or load.hubs

    def should_read(self, t: Length) -> Large:
        """What the gauge should read in the way in which this station gauges."""
        heading = f"SHOULD READ   ({self.gauging.words})"
        try:
            return Large(heading, figure(self.gauging.reads(self.state, t), self.units), self.unit)
        except InputError:  # the floor does not lie past the block yet
            return Large(heading, "-")

    def shims(self, tags: Iterable[str]) -> tuple[Shim, ...]:
        """Shims of the run by their tags."""
        return self.state.stack(tags)

    def hub_words(self, hubs: Iterable[int]) -> str:
        """``HUB 3``, ``HUBS 3 and 4``; with its mark where it has one."""
        names = [self._named(hub) for hub in hubs]
        if len(names) < 2:
            return f"HUB {names[0]}" if names else "HUB"
        return f"HUBS {', '.join(names[:-1])} and {names[-1]}"

    def _named(self, hub: int) -> str:
        mark = self.run.mark(hub)
        return f"{hub} ({plain(mark)})" if mark else str(hub)
