"""A run at the press for the screens: the pure acts of a run behind the requests, and no crib.

Bore 1 to 1.001 in, keyway 1/4 in, limits 1.1140 to 1.1240 in. Web and height make 1.0150, so that no shim, .0550, and
.0550 with .0490 read 1.0150, 1.0700 and 1.1190 in.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Mapping
from dataclasses import replace
from typing import Any

from broachplan.crib.records import Measurement
from broachplan.crib.shelf import Shelf
from broachplan.cut.gauge_ways import GaugedBore, gauge_way, read_way
from broachplan.desks.machinist.runs.at_press import AtPress
from broachplan.errors import CribStateError
from broachplan.lengths import Length, parse_length
from broachplan.planner.plan import plan as planned
from broachplan.questions import runs as asked
from broachplan.questions.at_press import RunAtPressRequest
from broachplan.runs.acts import correcting, deciding, pushing, reading, starting, stopping, trouble
from broachplan.runs.acts.acting import Acted
from broachplan.runs.ahead import OnHand
from broachplan.runs.fold import state_of
from broachplan.runs.next import next_of
from broachplan.runs.run import Run
from broachplan.runs.state import RunState
from broachplan.runs.steps import RunAct
from broachplan.settings import Settings
from tests.tui.answers import BROACH, BUSHING, HUB, KEYWAY, PRESS, QUESTION, Bench, limits, shim
from tests.tui.driving import SMALL, Drive, unpainted
from tui.app import BroachplanApp
from tui.desks import Desks
from tui.press.decisions import decision
from tui.press.drawn import drawn
from tui.press.meant import list_of, meant
from tui.press.question import Leave, Measure, PadOutcome, PressQuestion, Say, Send
from tui.press.sight import Sight
from tui.press.typed import opened
from tui.press.view import PressView
from tui.screens.run import RunScreen

SHIMS = (shim("0.055"), shim("0.049"), shim("0.050"), shim("0.047"))
SHELF = Shelf(broaches=(BROACH,), bushings=(BUSHING,), shims=SHIMS, presses=(PRESS,))
ON_HAND = OnHand(SHELF, {piece.tag: Measurement("micrometer") for piece in (BROACH, BUSHING, *SHIMS)})
# Without the shim of the other plan.
FEW = replace(ON_HAND, shelf=replace(SHELF, shims=SHIMS[:3]))


def run_of(quantity: int = 4, **changes: Any) -> Run:
    """The run as it is begun."""
    facts: dict[str, Any] = {
        "number": 41,
        "question": {"bore": QUESTION.bore, "key": QUESTION.key},
        "hub": HUB,
        "keyway": KEYWAY,
        "settings": Settings(),
        "program": "0",
        "quantity": quantity,
        "read_each": quantity,
        "job": "J-701 chain wheel",
        "drawing": "WL-1081",
    }
    return Run(**facts | changes)


def begun(quantity: int = 4, **changes: Any) -> RunState:
    """A run that was just started."""
    run = run_of(quantity, **changes)
    answer = planned(run.hub, run.keyway, SHELF, run.settings)
    return state_of(run, [starting.started(run, answer.plans[0], ON_HAND)])


class PressDesk:
    """The desk of a run at the press: answers requests, and keeps what it was asked."""

    def __init__(self, state: RunState | None = None, on_hand: OnHand = ON_HAND) -> None:
        self.state = state or begun()
        self.on_hand = on_hand
        self.asked: list[Any] = []

    def view(self, by: str = "Kim") -> PressView:
        """What the screen knows of the run now."""
        return PressView.of(self.at_press(None, RunAtPressRequest("41")), by=by)

    def at_press(self, _: str | None, request: RunAtPressRequest) -> AtPress:
        assert request.run == "41"
        other = correcting.other_plan(self.state, self.on_hand)
        by_tag = {each.tag: each for each in SHIMS}
        stacks = tuple(tuple(by_tag[tag] for tag in stack) for stack in other.stacks) if other else ()
        homes = ((BROACH.tag, "drawer 1"),)
        return AtPress(self.state, next_of(self.state), "Kim", ("Ann", "Kim"), homes, stacks)

    def act(self, _: str | None, request: Any) -> Acted:
        """Do what is asked, where no other step came between."""
        self.asked.append(request)
        if request.step != str(self.state.step):
            by = self.state.steps[-1].by or "somebody"
            raise CribStateError(f"run 41: step {self.state.step} was confirmed since, by {by}")
        acted = _ACTS[type(request)](self.state, self.on_hand, request)
        self.state = acted.state
        return acted

    def instead(self) -> Mapping[type, Callable[..., Any]]:
        """The desk in place of the crib's."""
        return {RunAtPressRequest: self.at_press, **dict.fromkeys(_ACTS, self.act)}


def _pushed(state: RunState, hand: OnHand, request: asked.RunPushedRequest) -> Acted:
    shims = None if not request.shims else () if request.shims == "none" else tuple(request.shims.split(","))
    through = int(request.through) if request.through else None
    return pushing.pushed(state, hand, shims=shims, through=through, part_way=request.part_way, by=request.by)


def _read(state: RunState, hand: OnHand, request: asked.RunReadRequest) -> Acted:
    hub = int(request.hub)
    if request.not_measured:
        return reading.not_read(state, hub=hub, by=request.by)
    typed = (request.measured,) if request.measured else (request.top, request.bottom)
    gauge = reading.Gauge(typed=typed)
    ends = [_t_of(state.run, request, parse_length(each)) for each in typed]
    through = int(request.through) if request.through else None
    return reading.read(
        state, hand, ends, hub=hub, through=through, sure=request.sure, gauge=gauge, by=request.by
    )


def _t_of(run: Run, request: asked.RunReadRequest, read: Length) -> Length:
    """T, by the way in which it was gauged."""
    sizes = {"block": request.block, "other": request.other_reading}
    bore = GaugedBore(
        run.hub.bore.nominal,
        parse_length(request.bore_is) if request.bore_is else None,
        run.keyway.width.nominal,
    )
    known = {name: parse_length(text) for name, text in sizes.items() if text}
    return gauge_way(read_way(request.way or "inside"), bore, **known).t_of(read)


def _correct(state: RunState, hand: OnHand, request: asked.RunCorrectRequest) -> Acted:
    at = int(request.at)
    if request.not_pushed:
        return pushing.not_pushed(state, takes_back=at, by=request.by, why=request.why)
    if request.shims:
        stack = () if request.shims == "none" else tuple(request.shims.split(","))
        return correcting.corrected_shims(state, hand, at, stack, why=request.why, by=request.by)
    t: Length | None = parse_length(request.measured) if request.measured else None
    return correcting.corrected_reading(state, hand, at, t, why=request.why, by=request.by)


def _end(state: RunState, _: OnHand, request: asked.RunEndRequest) -> Acted:
    if request.abandon:
        return stopping.abandoned(state, why=request.why, by=request.by)
    return stopping.ended(state, by=request.by)


_ACTS: dict[type, Callable[[RunState, OnHand, Any], Acted]] = {
    asked.RunPushedRequest: _pushed,
    asked.RunReadRequest: _read,
    asked.RunCorrectRequest: _correct,
    asked.RunAgainRequest: lambda state, _, request: correcting.again(state, by=request.by),
    asked.RunGaugingRequest: lambda state, _, request: reading.gauging(
        state, request.read_each, by=request.by
    ),
    asked.RunReplanRequest: lambda state, hand, request: correcting.replanned(state, hand, by=request.by),
    asked.RunGoneRequest: lambda state, hand, request: trouble.gone(state, hand, request.shim, by=request.by),
    asked.RunBrokenRequest: lambda state, hand, request: trouble.broken(
        state, hand, request.broach, by=request.by
    ),
    asked.RunAsideRequest: lambda state, hand, request: deciding.aside(
        state, hand, int(request.hub), why=request.why
    ),
    asked.RunScrapRequest: lambda state, hand, request: deciding.scrapped(
        state, hand, int(request.hub), why=request.why
    ),
    asked.RunAcceptRequest: lambda state, hand, request: deciding.accepted(
        state, hand, int(request.hub), why=request.why, by=request.by
    ),
    asked.RunStopRequest: lambda state, _, request: stopping.stopped(state, why=request.why, by=request.by),
    asked.RunParkRequest: lambda state, _, request: stopping.parked(state, by=request.by),
    asked.RunResumeRequest: lambda state, hand, request: stopping.resumed(state, hand, by=request.by),
    asked.RunEndRequest: _end,
}


# Limits so close that a usual reading can lie past the upper one.
TIGHT = replace(KEYWAY, reading=limits("1.114", "1.121"))
GOOD_HUB = ("1", "1.0720", "1.1208")


class Pad:
    """A number pad without a screen: what the screen does with a line, and nothing else."""

    def __init__(self, quantity: int = 4, by: str = "Kim", on_hand: OnHand = ON_HAND, **changes: Any) -> None:
        self.desk = PressDesk(begun(quantity, **changes), on_hand)
        self.by = by
        self.asked: PressQuestion | None = None
        self.said: tuple[str, ...] = ()
        self.view = self.desk.view(by)

    def type(self, *lines: str) -> Pad:
        for line in lines:
            self.do(meant(self.view, self.asked or decision(self.view), line))
        return self

    def do(self, outcome: PadOutcome | None) -> None:
        self.said = outcome.lines if isinstance(outcome, Say) else ()
        if isinstance(outcome, PressQuestion):
            self.asked = outcome
        elif isinstance(outcome, Leave):
            self.asked = None
        elif isinstance(outcome, Measure):
            self.view, self.asked = replace(self.view, gauging=outcome.gauging), None
        elif isinstance(outcome, Send):
            for act in outcome.acts:
                acted = self.desk.act(None, act(self.view))
                self.view = replace(self.desk.view(self.by), gauging=self.view.gauging, answer=acted.answer)
            self.asked = None

    def sight(self, line: str = "") -> Sight:
        key = opened(line)
        asked = list_of(key, self.view) if key else self.asked
        return drawn(self.view, asked)

    @property
    def shown(self) -> str:
        sight = self.sight()
        return "\n".join((*sight.said, *sight.lines, sight.prompt))

    @property
    def last(self) -> RunAct:
        return self.desk.state.steps[-1].act


class AtThePress(Drive):
    """A screen at the press, and the hands on its number pad."""

    desk_of_run: PressDesk

    async def type(self, text: str) -> None:
        """Type in one burst; ``\\n`` is Enter."""
        await self.burst(*("enter" if sign == "\n" else sign for sign in text))

    @property
    def run(self) -> RunState:
        """The run as the desk has it."""
        return self.desk_of_run.state


def at_the_press(
    act: Callable[[AtThePress], Awaitable[None]],
    *,
    desk: PressDesk | None = None,
    size: tuple[int, int] = SMALL,
    fresh: bool = True,
    by: str = "Kim",
) -> None:
    """Open the screen of a run, in the desk's place, and let ``act`` use it."""
    at = desk or PressDesk()

    class AtPressApp(BroachplanApp):
        async def open_desk(self) -> None:
            await self.push_screen(RunScreen(None, self.desks, "41", fresh=fresh))

    async def run() -> None:
        bench = Bench()
        desks: Desks = bench.desks(at.instead())
        app = AtPressApp(None, None, desks)
        app.by = by
        async with unpainted(app, size) as pilot:
            driven = AtThePress(app, pilot, bench)
            driven.desk_of_run = at
            await driven.settle()
            await act(driven)

    asyncio.run(run())
