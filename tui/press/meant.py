"""What is meant by a line typed at the press, in the state that the run is in."""

from __future__ import annotations

from broachplan.runs.ahead import AheadPass
from broachplan.runs.gauging import can_be_gauged
from broachplan.runs.run import Order
from broachplan.runs.state import Waits
from tui.press import acts
from tui.press.go_back import back, more
from tui.press.how_to import how_to
from tui.press.question import PadOutcome, PressQuestion, Say, Send, answered, made, not_an_answer
from tui.press.trouble import trouble
from tui.press.typed import Nothing, Number, PadChoice, PadKey, TypedReading, Unread, read_typed
from tui.press.view import PressView
from tui.words import figure

_LISTS = {PadKey.BACK: back, PadKey.MORE: more, PadKey.HOW_TO: how_to, PadKey.TROUBLE: trouble}


def list_of(key: PadKey, view: PressView) -> PressQuestion:
    """What a key opens."""
    return _LISTS[key](view)


def meant(view: PressView, asked: PressQuestion | None, text: str) -> PadOutcome | None:
    """What Enter does behind ``text``; ``asked`` is the question on the screen, if any. None: nothing."""
    typed = read_typed(text, view.system)
    if isinstance(typed, Nothing):
        return None
    if isinstance(typed, PadChoice):
        return answered(list_of(typed.key, view), typed.digit)
    if asked is not None:
        return _answer(asked, typed, text)
    if isinstance(typed, Number):
        return _number(view, typed.value)
    if isinstance(typed, TypedReading):
        return _gauged(view, typed)
    return Say((typed.why,))


def _answer(asked: PressQuestion, typed: Number | TypedReading | Unread, text: str) -> PadOutcome:
    if isinstance(typed, Number) and (asked.answers or not asked.words or not typed.value):
        return answered(asked, typed.value)
    if isinstance(typed, TypedReading) and asked.gauged:
        return made(asked.gauged(typed))
    if asked.words:
        return made(asked.words(text))
    if isinstance(typed, Unread) and asked.gauged:
        return Say((typed.why,))
    return not_an_answer(asked, text)


def _number(view: PressView, number: int) -> PadOutcome:
    """A pass that is through, and all before it; ``0`` where a reading is waited for: not gauged."""
    state = view.state
    to_gauge, hubs = state.to_gauge
    if state.waits is Waits.READING and hubs:
        push = state.load(to_gauge).last_push
        assert push is not None
        if number == 0:
            return Send((acts.not_read(hubs[0]),))
        if number <= push.number:
            return Say((f"Pass {number} is booked. Type what hub {hubs[0]} reads; not gauged: 0 Enter.",))
        return Send((acts.pushed(number),))
    if view.next is None:
        return Say((f"read {number}; no pass is due",))
    due, last = view.next.pass_number, view.next.of
    if not number:
        return Say((f"read 0; pass {due} is due: {due} Enter when it is through",))
    if number < due:
        return Say((f"Pass {number} is booked already: pass {due} is due. Nothing was booked twice.",))
    if number > last:
        return Say((f"read {number}; there are {last} passes, and pass {due} is due",))
    return Send((acts.pushed(number),))


def _gauged(view: PressView, gauged: TypedReading) -> PadOutcome:
    """A reading books the push that it was taken after: on the first hub the pass due, later the last one."""
    _, hubs = view.state.to_gauge
    if hubs:
        return Send((acts.read(hubs[0], gauged),))
    if view.next is None:
        return Say((f"read {' and '.join(gauged.texts)}; no pass is due. + gauges a hub that is through",))
    due, last = view.due[0], view.due[-1]
    load = view.state.load(view.next.load)
    in_turn = view.run.order is Order.PASSES
    if in_turn or load.first or not _learnt(view) or due is last:
        return _read_after(view, due, gauged)
    if not _like(view, last, gauged) and _like(view, due, gauged) and can_be_gauged(view.run, due.plain):
        return PressQuestion(
            heading=f"{gauged.texts[0]}: after which pass?",
            lines=(
                f"Pass {due.number} should read {figure(due.done.reading, view.units)},"
                f" pass {last.number} {figure(last.done.reading, view.units)}.",
            ),
            answers=(
                (f"after pass {due.number}", _read_after(view, due, gauged)),
                (f"after pass {last.number}: all are through", _read_after(view, last, gauged)),
            ),
        )
    return _read_after(view, last, gauged)


def _learnt(view: PressView) -> bool:
    """Whether a hub before this one was cut with the same pair."""
    assert view.next is not None
    pair = view.state.load(view.next.load).to_do
    return any(
        load.number != view.next.load and load.passes and load.to_do.broach == pair.broach
        for load in view.state.begun.values()
    )


def _read_after(view: PressView, due: AheadPass, gauged: TypedReading) -> PadOutcome:
    assert view.next is not None
    if not can_be_gauged(view.run, due.plain):
        return Say(
            (
                f"Pass {due.number} cannot be gauged yet: its floor lies within the bore. {due.number} Enter books it.",
            )
        )
    hub = (view.next.gauge or view.next.hubs)[0]
    return Send((acts.read(hub, gauged, through=due.number),))


def _like(view: PressView, due: AheadPass, gauged: TypedReading) -> bool:
    """Whether a reading lies where a pass usually reads, the gauge's error included."""
    error = view.run.settings.error_reading
    ts = [view.gauging.t_of(view.state, each) for each in gauged.lengths]
    return all(due.low - error <= each <= due.high + error for each in ts)
