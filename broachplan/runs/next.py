"""What is next at the press: the pass that is due with all that is to be known of it."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.lengths import Length
from broachplan.planner.answer import Caution
from broachplan.runs.ahead import Ahead, worked_out
from broachplan.runs.gauging import can_be_gauged, is_first, read_short, to_be_gauged
from broachplan.runs.offsets import offset_of
from broachplan.runs.run import Order
from broachplan.runs.stacks import StackChange, change_between
from broachplan.runs.state import Cause, LoadState, RunState
from broachplan.runs.steps import Stack

# What stops a run until it is decided, whatever is done at the press.
_UNDECIDED = (Cause.PAST, Cause.DISPUTED, Cause.BLOCKED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Next:
    """The pass that is due.

    ``of`` is how many passes the load has in all; ``shims`` lie from the slot floor up; ``change`` says what stays in and
    what is added. ``plain`` is the plain reading, ``expected`` what it should read, ``low`` to ``high`` its band. ``gauge``
    holds the hubs that are to be gauged after it; ``can_gauge``: an inside reading can be taken by then.
    """

    load: int
    hubs: tuple[int, ...]
    pass_number: int
    of: int
    shims: Stack
    change: StackChange
    plain: Length
    expected: Length
    low: Length
    high: Length
    offset: Length
    first_bite: Length
    force_low: float | None
    force_high: float | None
    cautions: tuple[Caution, ...]
    gauge: tuple[int, ...]
    can_gauge: bool
    ahead: Ahead


def next_of(state: RunState) -> Next | None:
    """The pass that is due, or will be once the run is resumed; None where none is."""
    load = state.current
    undecided = [cause for cause in state.causes if cause in _UNDECIDED]
    if state.closed or load is None or undecided or state.to_gauge[1]:
        return None
    if not state.can_go_on(load):
        return None
    return next_on(state, load)


def next_on(state: RunState, load: LoadState) -> Next | None:
    """The pass to come on a load; None where none is left."""
    ahead = worked_out(state, load)
    if ahead is None:
        return None
    due, hubs, left = ahead.passes[0], state.in_work(load), len(ahead.passes) - 1
    offset = offset_of(state, load)
    return Next(
        load=load.number,
        hubs=hubs,
        pass_number=due.number,
        of=len(load.passes) + len(ahead.passes),
        shims=due.shims,
        change=change_between(state.stack(_in_the_slot(state, load)), state.stack(due.shims)),
        plain=due.plain,
        expected=due.plain + offset.mean,
        low=due.low,
        high=due.high,
        offset=offset.mean,
        first_bite=due.done.first_bite,
        force_low=due.done.force_low,
        force_high=due.done.force_high,
        cautions=ahead.plan.cautions,
        gauge=_gauge(state, load, due.plain, left),
        can_gauge=can_be_gauged(state.run, due.plain),
        ahead=ahead,
    )


def _in_the_slot(state: RunState, load: LoadState) -> Stack:
    """What lies in the slot now: the shims of the push made last, unless the slot was emptied since.

    It is emptied before the next load where each load is cut whole, and where the tools were in the crib.
    """
    if state.gauge_next:
        return ()
    if state.run.order is Order.LOADS:
        return load.passes[-1].shims if load.passes else ()
    pushes = [push for other in state.begun.values() for push in other.passes]
    return max(pushes, key=lambda push: push.step).shims if pushes else ()


def _gauge(state: RunState, load: LoadState, plain: Length, left: int) -> tuple[int, ...]:
    if not can_be_gauged(state.run, plain):
        return ()
    first = is_first(load, state.begun, state.fates)
    anyway = load.gauged or state.gauge_next or read_short(load)
    return to_be_gauged(state.as_asked, state.in_work(load), left, first=first, anyway=anyway)
