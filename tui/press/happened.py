"""What the last step of a run means, in words: shown above what is next, on whichever station."""

from __future__ import annotations

from broachplan.lengths import Length
from broachplan.runs.fold import state_of
from broachplan.runs.gauging import often_in_words
from broachplan.runs.state import LoadState, Outcome, RunState, Status
from broachplan.runs.steps import RunAct, Stack, Step
from broachplan.runs.waiting import lacking
from broachplan.sheets.sizes import gauge_units
from broachplan.shown import limits_in_words
from tui.plain import plain
from tui.press.reading_words import ReadBeside, good, past, reads, what_is_left
from tui.press.stack_words import in_short
from tui.press.view import PressView
from tui.words import figure


def happened(view: PressView) -> tuple[str, ...]:
    """The last step in one to three lines; nothing right after the start."""
    step = view.state.steps[-1]
    if step.act is RunAct.READ or (step.act is RunAct.CORRECTED and step.t is not None):
        return tuple(_read(view, step))
    if step.act is RunAct.PUSHED:
        return (_pushed(view, step),)
    if step.act is RunAct.CORRECTED and step.shims is not None:
        return (
            f"PUT RIGHT: {_pass(view, step)} was pushed with {_stack(view, step.shims)}.",
            *_left(view, step),
        )
    if step.act is RunAct.REPLANNED:
        return ("THE OTHER PLAN from here on.", *_left(view, step))
    words = _other(view, step)
    if not words:
        return ()
    replanned = (
        step.act in (RunAct.GONE, RunAct.RESUMED, RunAct.MEASURED)
        and view.load is not None
        and view.load.passes
    )
    return (words, *(_left(view, step) if replanned else ()))


def _hub(step: Step) -> str:
    return f"HUB {step.hub}" if step.hub is not None else "THE HUB"


def _pass(view: PressView, step: Step) -> str:
    """``HUB 1, pass 2``."""
    hubs = step.hubs or view.state.load(step.load or 1).hubs
    return f"{view.hub_words(hubs)}, pass {step.pass_number}"


def _other(view: PressView, step: Step) -> str:
    """Any other step in one line; empty where nothing is to be said, or where the question beside it says it."""
    piece, why = plain(step.piece), plain(step.why)
    words = {
        RunAct.NOT_PUSHED: f"TAKEN BACK: {_pass(view, step)} is still to be pushed.",
        RunAct.NOT_READ: f"{_pass(view, step)} is not gauged.",
        RunAct.GAUGING: f"FROM NOW ON {often_in_words(view.state.as_asked.read_each)}.",
        RunAct.AGAIN: "THE SAME SHIMS ONCE MORE: push again, then gauge it.",
        RunAct.MEASURED: f"{piece} was measured again: readings and offset follow it.",
        RunAct.GONE: f"{piece} IS MISSING: it is out of every plan until it is found.",
        RunAct.BROKEN: f"{piece} IS BROKEN: it is out of service and out of every plan.",
        RunAct.SCRAPPED: f"{_hub(step)} IS SCRAPPED: {why}.",
        RunAct.ACCEPTED: f"{_hub(step)} IS ACCEPTED as it is{f' by {plain(step.by)}' if step.by else ''}: {why}.",
        RunAct.ASIDE: f"{_hub(step)} IS SET ASIDE: {why}. Scrap or accept it later.",
        RunAct.RESUMED: f"TAKEN UP AGAIN{f' by {plain(step.by)}' if step.by else ''}: look over the set-up first.",
    }
    return words.get(step.act, "")


def _pushed(view: PressView, step: Step) -> str:
    load = view.state.load(step.load or 1)
    hubs = view.hub_words(step.hubs)
    pushes = [each for each in view.state.steps if each.act is RunAct.PUSHED and each.load == step.load]
    if view.state.finished(load) and len(pushes) > 1:
        return f"{hubs}: all {len(load.passes)} passes are through."
    return f"{_pass(view, step)} is through."


def _read(view: PressView, step: Step) -> list[str]:
    """The reading, what it says of the hub, what follows for the passes left."""
    state, units = view.state, view.units
    push = _push_of(state, step)
    if push is None or step.hub is None or step.t is None:
        return []
    load, number = push
    reading = load.passes[number].read_of(step.hub)
    if reading is None:
        return [f"The {step.end} end reads {figure(step.t, units)}. Gauge the other end too."]
    outcome = state.outcome_of(reading)
    what = f"PASS {step.pass_number or load.passes[number].number}"
    if outcome in (Outcome.WITHIN, Outcome.PAST):
        what = f"HUB {step.hub}"
    expected = step.expected or state.plain_of(load.passes[number])
    read = ReadBeside(
        what=what,
        readings=tuple(gauged.t for gauged in reading.ends),
        expected=expected,
        low=step.low or expected,
        high=step.high or expected,
        is_good=outcome is Outcome.WITHIN,
    )
    lines = [reads(read, units)]
    if outcome is Outcome.DISPUTED:
        return lines
    if outcome is Outcome.PAST:
        return [*lines, *past(reading.deepest, view.run.keyway.reading, units)]
    if outcome is Outcome.WITHIN:
        return [*lines, good(f"HUB {step.hub}", view.run.keyway.reading, units)]
    return [*lines, *_left(view, step, read.middle - expected), *_offers(view)]


def _offers(view: PressView) -> list[str]:
    """What could be done instead: the same shims once more where it reads shallow, or the other plan."""
    offers = []
    after = view.answer.after if view.answer else None
    if after is not None and after.push_again is not None:
        low, high = (figure(each, view.units) for each in after.push_again)
        offers.append(f"the same shims again, may read {low} to {high}")
    if view.other:
        offers.append(f"the other plan, {in_short(view.other[-1], view.units)} last")
    return [f"Or (+): {'; or '.join(offers)}."] if offers else []


def _push_of(state: RunState, step: Step) -> tuple[LoadState, int] | None:
    """The load and the place of the push that a reading belongs to."""
    for load in state.begun.values():
        for place, push in enumerate(load.passes):
            if any(gauged.step in (step.step, step.corrects) for one in push.readings for gauged in one.ends):
                return load, place
    return None


def _left(view: PressView, step: Step, off: Length = Length(0)) -> list[str]:
    """What the step does to the passes left."""
    load = view.load
    if load is None:
        return []
    if not load.to_do.stacks:
        limits = limits_in_words(view.run.keyway.reading, gauge_units(view.units))
        return [f"NO PLAN: {lacking(view.state)}, {limits}."]
    if not view.due:
        return []
    before = _before(view.state, step)
    words = what_is_left(
        [view.shims(stack) for stack in before],
        [view.shims(stack) for stack in load.to_do.stacks],
        view.due[0].number,
        view.due[-1].done.reading,
        off,
        view.run.keyway.reading,
        view.units,
    )
    return [words]


def _before(state: RunState, step: Step) -> tuple[Stack, ...]:
    """What was to do on the load before the last step; before the run stopped, where that step resumed it."""
    earlier = state_of(state.run, state.steps[:-1])
    # What is missing is planned around at once, so that the plan of a stopped run may be another one than was seen before.
    while step.act is RunAct.RESUMED and earlier.status is Status.STOPPED:
        earlier = state_of(state.run, earlier.steps[:-1])
    load = earlier.load(step.load) if step.load else earlier.current
    return load.to_do.stacks if load else ()


def _stack(view: PressView, tags: Stack) -> str:
    return in_short(view.shims(tags), view.units)
