"""A run in words: what was done step by step, what is next, and what it waits for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import NamedTuple

from broachplan.lengths import Length, Units, show
from broachplan.planner.after_words import depth_in_words
from broachplan.planner.answer import AfterReading, Answer, ReadingSays
from broachplan.quantities import forces_between
from broachplan.runs.counts import HubCounts, counts_of
from broachplan.runs.gauging import often_in_words
from broachplan.runs.next import Next, next_of
from broachplan.runs.run import MOST_HUBS, Order, read_each_of
from broachplan.runs.state import Cause, RunState, Waits
from broachplan.runs.steps import End, RunAct, Step, ToDo
from broachplan.runs.waiting import hubs_in_words, waits_for
from broachplan.shown import limits_in_words, numbered, shims_in_words, show_apart

_ORDERS = {Order.LOADS: "each load whole", Order.PASSES: "all loads through each pass"}
_ENDS = {End.TOP: " at the top", End.BOTTOM: " at the bottom"}
_WHOLE = {
    RunAct.STARTED: "started",
    RunAct.STOPPED: "stopped",
    RunAct.PARKED: "parked: the tools are back in the crib",
    RunAct.RESUMED: "resumed",
    RunAct.ENDED: "ended",
    RunAct.ABANDONED: "abandoned",
    RunAct.REPLANNED: "planned again",
}


class Happened(NamedTuple):
    """What an act did: its steps, and where it is known the plan that was not taken, and what the planner said."""

    steps: Sequence[Step]
    other: ToDo | None = None
    answer: Answer | None = None


def step_in_words(step: Step, units: Units) -> str:
    """What was done, in one sentence without a stop."""
    said = _WHOLE.get(step.act) or _WORDS[step.act](step, units)
    return f"{said}: {step.why}" if step.why else said


def run_in_words(state: RunState, code: str) -> str:
    """A run in one line: its code, its state and how many hubs are done."""
    why = f" ({state.why})" if state.why and state.why != state.status else ""
    return f"{code}: {state.status}{why}; {counts_in_words(counts_of(state))}"


def counts_in_words(counts: HubCounts) -> str:
    """How many hubs are done, and what became of the others."""
    parts = [f"{counts.done} of {numbered(counts.asked, 'hub')} done"]
    others = {
        "not measured": counts.not_measured,
        "scrapped": counts.scrapped,
        "accepted as they are": counts.accepted,
        "set aside": counts.aside,
        "to be read": counts.to_read,
    }
    return ", ".join([*parts, *(f"{number} {what}" for what, number in others.items() if number)])


def happened_in_words(state: RunState, code: str, happened: Happened) -> Iterator[str]:
    """What an act did, what its reading means, and what is next; a line each."""
    units = state.run.settings.shown_in
    for step in happened.steps:
        yield f"{code}, step {step.step}: {step_in_words(step, units)}"
    if happened.answer is not None and happened.answer.after is not None:
        yield _meaning(happened.answer.after, state, happened.steps)
    yield from what_next(state)
    takes = _takes_the_other(state)
    if happened.other is not None and takes:
        yield f"another plan: {_plan(happened.other)}; `broachplan run {takes}` takes it"


def _takes_the_other(state: RunState) -> str:
    """The command that takes the other plan; empty where none does yet, and what is next offers it again."""
    if state.waits is Waits.PUSH:
        return "replan"
    # Where a broach broke, the run stops first: the hub may as well be given up.
    return "resume" if Cause.BROKEN in state.causes else ""


def _meaning(after: AfterReading, state: RunState, steps: Sequence[Step]) -> str:
    """What a reading means for the run: how far it is off, and what becomes of the passes left."""
    how = depth_in_words(after, state.run.settings.shown_in)
    if any(step.doubtful and not step.sure for step in steps):
        return f"{how}, off its band{_reads_as(after)}"
    if after.outcome is ReadingSays.WITHIN:
        return f"{how}; inside the limits, nothing is left to do"
    if after.outcome is ReadingSays.PAST:
        return f"{how}; past the limit"
    if Cause.BLOCKED in state.causes:
        return f"{how}; short of the limits, and no stack on hand takes the next cut"
    if any(step.to_do is not None for step in steps):
        return f"{how}; the passes left are planned again"
    return f"{how}; the passes left stay as planned, still inside the limits"


def _reads_as(after: AfterReading) -> str:
    """The stacks that a reading off its band reads like, nearest first."""
    stacks = " or ".join(shims_in_words(shim.tag for shim in stack) for stack in after.reads_as)
    return f"; it reads as if this were in: {stacks}" if stacks else ""


def what_next(state: RunState) -> Iterator[str]:
    """The pass that is due, or what the run waits for."""
    due = next_of(state) if state.waits is Waits.PUSH else None
    if due is None:
        yield f"the run waits for {waits_for(state)}" if not state.closed else f"the run is {state.closed}"
        return
    yield from next_in_words(state, due)


def next_in_words(state: RunState, due: Next) -> Iterator[str]:
    """The pass that is due: what to put in, what it should read, what it loads."""
    units = state.run.settings.shown_in
    yield f"next: pass {due.pass_number} of {due.of} on {hubs_in_words(due.hubs)}: {_put_in(due)}"
    low, high = show(due.low, units), show(due.high, units)
    between = f"{low.rpartition(' ')[0]} to {high}"
    should = f"should read {show(due.expected, units)} ({between} is usual)"
    if due.gauge:
        should += f"; gauge {hubs_in_words(due.gauge)} after it"
    elif not due.can_gauge:
        should += "; nothing to gauge yet"
    yield should
    yield from _would_miss(state, due)
    if due.force_low is not None and due.force_high is not None:
        yield f"press load {forces_between(due.force_low, due.force_high, units)}"


def _would_miss(state: RunState, due: Next) -> Iterator[str]:
    """That the last pass would miss its limits as things are: what other hubs taught, and no shims help."""
    last, limits, units = (
        due.ahead.passes[-1].done.reading,
        state.run.keyway.reading,
        state.run.settings.shown_in,
    )
    if limits.lower <= last <= limits.upper:
        return
    limit = limits.upper if last > limits.upper else limits.lower
    reads, most = show_apart(units, last, limit)
    yield f"CAUTION: as the hubs before read, the last pass would read {reads}, and the limit is {most}; no shims on hand lead to the limits: gauge before the last pass"


def about_in_words(state: RunState, person: str) -> Iterator[str]:
    """What a run is about: for what, of which hub, in which order, with which pieces, and who has them."""
    run, units = state.run, state.run.settings.shown_in
    for label, text in (("job", run.job), ("drawing", run.drawing), ("marks", ", ".join(run.marks))):
        if text:
            yield f"{label} {text}"
    load = state.current
    to_do = load.to_do if load else state.new_hubs
    size = f"bore {limits_in_words(run.hub.bore, units)}, {show(run.hub.length, units)} long"
    yield f"{size}; T {limits_in_words(run.keyway.reading, units)}"
    stacked = f", {run.hub.stack} at once" if run.hub.stack > 1 else ""
    yield f"{_ORDERS[run.order]}{stacked}; broach {to_do.broach} in bushing {to_do.bushing}{f' on {to_do.press}' if to_do.press else ''}"
    if state.held:
        yield f"{person} has {', '.join(sorted(state.held))}"


def fetch_in_words(tags: Sequence[str], homes: Mapping[str, str]) -> str:
    """What to fetch, and where it lives."""
    return "fetch " + ", ".join(f"{tag} ({homes[tag]})" if homes.get(tag) else tag for tag in tags)


def _plan(to_do: ToDo) -> str:
    stacks = "; ".join(shims_in_words(stack) for stack in to_do.stacks)
    return f"{to_do.broach} in {to_do.bushing}, {stacks}"


def _put_in(due: Next) -> str:
    if not due.shims:
        return "no shim"
    stays = [shim.tag for shim in due.change.stays]
    if not stays:
        return f"put in {shims_in_words(due.shims)}"
    added, out = ([shim.tag for shim in each] for each in (due.change.added, due.change.taken_out))
    parts = [f"leave {', '.join(stays)} in"]
    parts += [f"add {', '.join(added)}"] if added else []
    parts += [f"take out {', '.join(out)}"] if out else []
    return f"{', '.join(parts)} (floor first: {', '.join(due.shims)})"


def _pass_of(step: Step) -> str:
    return f"pass {step.pass_number} of {hubs_in_words(step.hubs)}"


def _pushed(step: Step, _: Units) -> str:
    return f"{_pass_of(step)} is through, with {shims_in_words(step.shims or ())}"


def _part_way(step: Step, _: Units) -> str:
    return f"{_pass_of(step)} stopped part way, with {shims_in_words(step.shims or ())}"


def _not_pushed(step: Step, _: Units) -> str:
    booked = f", booked in step {step.corrects}" if step.corrects else ""
    return f"{_pass_of(step)} was not pushed{booked}"


def _read(step: Step, units: Units) -> str:
    end = _ENDS[step.end] if step.end else ""
    doubt = ", off its band" if step.doubtful else ""
    sure = ", gauged with care" if step.sure else ""
    return f"hub {step.hub} reads {_length(step.t, units)}{end} after pass {step.pass_number}{doubt}{sure}"


def _gauging(step: Step, _: Units) -> str:
    each = read_each_of(step.typed, MOST_HUBS)
    return f"from now on {often_in_words(each)}"


def _not_read(step: Step, _: Units) -> str:
    return f"{hubs_in_words(step.hubs)} not gauged after pass {step.pass_number}"


def _again(step: Step, _: Units) -> str:
    return f"{_pass_of(step)} is pushed once more with {shims_in_words(step.shims or ())}"


def _corrected(step: Step, units: Units) -> str:
    if step.shims is not None:
        return f"step {step.corrects} put right: {shims_in_words(step.shims)} was in"
    if step.t is None:
        return f"step {step.corrects} put right: it was not gauged"
    return f"step {step.corrects} put right: it reads {_length(step.t, units)}"


def _length(length: Length | None, units: Units) -> str:
    return "" if length is None else show(length, units)


_WORDS: Mapping[RunAct, Callable[[Step, Units], str]] = {
    RunAct.PUSHED: _pushed,
    RunAct.PART_WAY: _part_way,
    RunAct.NOT_PUSHED: _not_pushed,
    RunAct.READ: _read,
    RunAct.NOT_READ: _not_read,
    RunAct.AGAIN: _again,
    RunAct.CORRECTED: _corrected,
    RunAct.GAUGING: _gauging,
    RunAct.MEASURED: lambda step, _: f"{step.piece} was measured again",
    RunAct.GONE: lambda step, _: f"{step.piece} is missing",
    RunAct.BROKEN: lambda step, _: f"{step.piece} broke and is out of service",
    RunAct.SCRAPPED: lambda step, _: f"hub {step.hub} is scrapped",
    RunAct.ACCEPTED: lambda step, _: f"hub {step.hub} is accepted as it is",
    RunAct.ASIDE: lambda step, _: f"hub {step.hub} is set aside",
}
