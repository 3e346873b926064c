"""Back one step, and more than was asked: what was really done, a gauging not planned, the same shims again."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from broachplan.runs.gauging import can_be_gauged
from broachplan.runs.run import EVERY
from broachplan.runs.state import LoadState, Pushed, Reading
from tui.plain import plain
from tui.press import acts
from tui.press.cautions import BOTH_ENDS, GAUGING
from tui.press.question import Later, PadOutcome, PressQuestion, Say, Send
from tui.press.stack_words import in_short
from tui.press.trouble import really_in
from tui.press.typed import PadKey, TypedReading
from tui.press.view import PressView
from tui.words import figure


def back(view: PressView) -> PressQuestion:
    """What the last push or reading really was. Nothing is overwritten: it is a step of its own."""
    found = last_push(view)
    if found is None:
        return PressQuestion(
            heading="BACK ONE",
            lines=("Nothing is booked yet: there is nothing to take back.",),
            key=PadKey.BACK,
        )
    load, push = found
    hubs = view.hub_words(view.state.in_work(load) or load.hubs)
    answers: list[tuple[str, PadOutcome]] = []
    for reading in push.readings:
        shown = " and ".join(figure(gauged.t, view.units) for gauged in reading.ends)
        not_gauged = partial(_not_gauged, reading.step)
        answers += [
            (
                f"hub {reading.hub} does not read {shown}: type what it reads",
                named(view, partial(_read_again, reading)),
            ),
            (f"hub {reading.hub} was not gauged", named(view, not_gauged)),
        ]
    answers.append(
        (
            f"other shims were in than {_stack(view, push)}",
            Later(partial(really_in, view, f"{hubs}, pass {push.number}", push)),
        )
    )
    if not push.readings:
        answers.append((f"pass {push.number} was not pushed", Send((acts.not_pushed(push.step),))))
    return PressQuestion(
        heading=f"BACK ONE: {hubs}, pass {push.number}. What was it really?",
        answers=tuple(answers),
        key=PadKey.BACK,
    )


def more(view: PressView) -> PressQuestion:
    """A gauging not planned, a second push, the other plan."""
    answers: list[tuple[str, PadOutcome]] = []
    found = last_push(view)
    if found is not None:
        load, push = found
        hubs = view.state.in_work(load)
        if can_be_gauged(view.run, view.state.plain_of(push)):
            answers += [
                (f"gauge hub {hub} after pass {push.number}", Later(partial(_gauge, hub))) for hub in hubs
            ]
        answers.append((f"push again with {_stack(view, push)}", Send((acts.again(),))))
    if view.other:
        stacks = "; then ".join(in_short(stack, view.units) for stack in view.other)
        answers.append((f"the other plan: {stacks}", Send((acts.other_plan(),))))
    answers += [(f"gauge hub {hub}, done before", Later(partial(_gauge, hub))) for hub in done_before(view)]
    answers += _more_often(view)
    lines = () if answers else ("No pass that a gauge can reach is through yet: push on first.",)
    return PressQuestion(heading="GAUGE IT, AND MORE", lines=lines, answers=tuple(answers), key=PadKey.MORE)


def _more_often(view: PressView) -> list[tuple[str, PadOutcome]]:
    """Every hub from here on, or again no more than the first and the last."""
    run = view.state.as_asked
    if run.quantity == 1 or view.state.closed:
        return []
    if run.read_each > 1:
        return [("gauge every hub from here on", Send((acts.gauging(EVERY),)))]
    return [("gauge only the first hub and the last", Send((acts.gauging(str(run.quantity)),)))]


def named(view: PressView, then: Callable[[str], PadOutcome]) -> PadOutcome:
    """What is put right or accepted has a name to it: that of who is at the press, else it is asked for."""
    if view.by:
        return Later(partial(then, view.by))
    return PressQuestion(
        heading="WHO ARE YOU? This is kept with a name.",
        answers=tuple((plain(name), Later(partial(then, name))) for name in view.people),
        prompt="A digit, or type your name; 0 goes back",
        words=then,
    )


def done_before(view: PressView) -> list[int]:
    """Hubs of the loads that are through, those to be read first; the last few of the others."""
    found = last_push(view)
    now = found[0].hubs if found else ()
    others = [
        hub
        for load in view.state.begun.values()
        if load.passes and not load.to_do.stacks
        for hub in view.state.in_work(load)
        if hub not in now and hub not in view.state.to_read
    ]
    return [*sorted(hub for hub in view.state.to_read if hub not in now), *sorted(others)[-3:]]


def last_push(view: PressView) -> tuple[LoadState, Pushed] | None:
    """The push booked last, with its load, while it still counts."""
    pushes = [(load, push) for load in view.state.begun.values() for push in load.passes]
    return max(pushes, key=lambda found: found[1].step, default=None)


def _gauge(hub: int) -> PressQuestion:
    return PressQuestion(
        heading=f"GAUGE HUB {hub}",
        lines=(GAUGING, BOTH_ENDS),
        prompt=f"What does hub {hub} read?",
        unit=True,
        gauged=lambda gauged: Send((acts.read(hub, gauged),)),
    )


def _not_gauged(step: int, by: str) -> PadOutcome:
    return Send((acts.correct_not_measured(step, by),))


def _read_again(reading: Reading, by: str) -> PressQuestion:
    def typed(gauged: TypedReading) -> PadOutcome:
        if len(gauged.texts) != len(reading.ends):
            ends = "one reading" if len(reading.ends) == 1 else "both ends, with / between"
            return Say((f"It was gauged as {ends}: type it so.",))
        return Send(acts.correct_reading(reading, gauged, by))

    return PressQuestion(
        heading=f"HUB {reading.hub}: what does it really read?",
        lines=("The first figure stays in the record; this one counts.",),
        prompt="What does it read?",
        unit=True,
        gauged=typed,
    )


def _stack(view: PressView, push: Pushed) -> str:
    return in_short(view.shims(push.shims), view.units)
