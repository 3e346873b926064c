"""What the gauge reads after a pass: whether it is possible, what it means, and how the load continues."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.planner.after import PressReading, plan_after
from broachplan.planner.answer import Answer
from broachplan.planner.tried import Trial
from broachplan.runs.acts.acting import Acted, check_open, check_running, checked_hub, next_step, refused
from broachplan.runs.acts.following import went_on
from broachplan.runs.acts.pushing import load_due, through_steps
from broachplan.runs.ahead import OnHand, shelf_for
from broachplan.runs.band import budget_of_push, gauge_bands
from broachplan.runs.fold import after
from broachplan.runs.gauging import is_first, often_in_words
from broachplan.runs.run import Order, read_each_of
from broachplan.runs.state import Cause, LoadState, Outcome, Pushed, RunState
from broachplan.runs.steps import End, RunAct, Step
from broachplan.runs.waiting import hubs_in_words

_OF_READINGS = frozenset({Cause.DISPUTED, Cause.PAST, Cause.BLOCKED})
_ENDS = (End.TOP, End.BOTTOM)


@dataclass(frozen=True, slots=True)
class Gauge:
    """How a reading was taken: the way, the gauge, and what was typed at each end, for the record."""

    way: str = "inside"
    with_what: str = ""
    typed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Place:
    """Which hub is read after which pass, and how many passes of its load the reading books first."""

    load: int
    hub: int
    books: int = 0


def read(
    state: RunState,
    on_hand: OnHand,
    ends: Sequence[Length],
    *,
    hub: int | None = None,
    books: bool = False,
    through: int | None = None,
    sure: bool = False,
    gauge: Gauge = Gauge(),
    by: str = "",
) -> Acted:
    """What T is after a pass: once, or at the top and at the bottom of the hub.

    Parameters
    ----------
    ends : T at one end, or at both, the top first.
    hub : the one that was gauged; None: the one that is due, else the one pushed last, read again where it was read.
    books : whether the reading books the push that is due as well: on the first hub that pass, later the whole load where
        each load is cut whole. Else a reading is of a push that is booked.
    through: the pass that was gauged; the reading books it, and the passes of its load before it, with what was planned in.
    sure : it is kept though it lies off its band.

    Raises
    ------
    InputError : no such hub; a reading that cannot be, or could not be gauged yet. Nothing is kept.
    CribStateError : nothing is to be read.
    """
    place = _place(state, hub, books) if through is None else _through(state, hub, through)
    pushes = through_steps(state, state.load(place.load), place.books, on_hand, by)
    now = after(state, *pushes)
    load = now.load(place.load)
    push = load.last_push
    assert push is not None
    answer = judged(now, load, push, place.hub, ends, on_hand)
    reads = _read_steps(now, load, place.hub, ends, sure, gauge, by)
    return went_on(state, (*pushes, *reads), on_hand, by, answer)


def not_read(state: RunState, *, hub: int | None = None, by: str = "", why: str = "") -> Acted:
    """The hubs that are due, or one of them, are not gauged after this pass.

    Raises
    ------
    CribStateError : no reading is due, or one that must be taken because a later hub reads past a limit.
    """
    check_open(state, "nothing is to be gauged")
    if Cause.PARKED in state.causes or not state.to_gauge[1]:
        raise refused(state, "no reading is due that can be left out")
    number, due = state.to_gauge
    hubs = due if hub is None else (checked_hub(state, hub),)
    if not set(hubs) <= set(due):
        raise refused(state, f"{hubs_in_words(hubs)} is not due to be gauged")
    push = state.load(number).last_push
    assert push is not None
    facts = {"load": number, "hubs": hubs, "pass_number": push.number, "why": why}
    return Acted(state, (next_step(state, RunAct.NOT_READ, by, **facts),))


def gauging(state: RunState, each: str, *, by: str = "") -> Acted:
    """From now on other hubs are gauged after their last pass: ``each`` is every, or each how many; see `read_each_of`.

    What is through stays as it is.

    Raises
    ------
    InputError : it is neither.
    CribStateError : the run is over, or they are gauged as often already.
    """
    check_open(state, "nothing is to be gauged")
    if not each.strip():
        raise InputError("read", "write every, or each how many hubs to read, for example 5")
    read_each = replace(state.run, read_each=read_each_of(each, state.run.quantity)).read_each
    if read_each == state.as_asked.read_each:
        raise refused(state, f"{often_in_words(read_each)} already")
    return Acted(state, (next_step(state, RunAct.GAUGING, by, typed=each.strip().lower()),))


def _place(state: RunState, hub: int | None, books: bool) -> _Place:
    check_open(state, "nothing is to be read")
    if {Cause.PARKED, Cause.PART_WAY} & set(state.causes):
        raise refused(state, "nothing is to be read")
    return _of_hub(state, checked_hub(state, hub), books) if hub is not None else _due(state, books)


def _through(state: RunState, hub: int | None, through: int) -> _Place:
    """A hub of the load at the press, after a pass that is not booked yet."""
    load = load_due(state, through)
    hubs = state.in_work(load)
    if hub is not None and checked_hub(state, hub) not in hubs:
        raise refused(state, f"hub {hub} is not the one at the press")
    return _Place(load.number, hub or hubs[0], through - len(load.passes))


def _due(state: RunState, books: bool) -> _Place:
    """Where no hub is named: what waits for a decision, what is to be gauged, what was pushed last, or what is due."""
    for outcome in (Outcome.DISPUTED, Outcome.PAST):
        for load in state.begun.values():
            for one in state.in_work(load):
                if state.outcome(one) is outcome:
                    return _Place(load.number, one)
    number, hubs = state.to_gauge
    if hubs:
        return _Place(number, hubs[0])
    if Cause.BLOCKED in state.causes and state.current and state.current.passes:
        return _Place(state.current.number, state.in_work(state.current)[0])
    if not books and (pushed := _pushed_last(state)):
        return pushed
    if books and state.current is not None:
        return _booking(state, state.current, state.in_work(state.current)[0])
    if state.to_read:
        one = min(state.to_read)
        return _Place(state.load_of(one).number, one)
    raise refused(state, "nothing is to be read; name the hub to read it again")


def _pushed_last(state: RunState) -> _Place | None:
    """The first hub in work of the load pushed last: a reading taken again replaces the one before."""
    loads = [load for load in state.begun.values() if load.passes]
    if not loads:
        return None
    load = max(loads, key=lambda one: one.passes[-1].step)
    push, hubs = load.passes[-1], state.in_work(load)
    unread = [hub for hub in hubs if push.read_of(hub) is None and hub not in push.skipped]
    return _Place(load.number, (unread or list(hubs))[0]) if hubs else None


def _of_hub(state: RunState, hub: int, books: bool) -> _Place:
    if hub in state.fates:
        raise refused(state, f"hub {hub} is {state.fates[hub][0]}")
    load = state.load_of(hub)
    push = load.last_push
    due = state.current is not None and state.current.number == load.number and bool(load.to_do.stacks)
    if push is None and not (due and books):
        raise refused(state, f"hub {hub} is not cut yet")
    stopped = bool(_OF_READINGS & set(state.causes))
    if push is not None and (stopped or state.to_gauge[0] == load.number or not due or not books):
        return _Place(load.number, hub)
    return _booking(state, load, hub)


def _booking(state: RunState, load: LoadState, hub: int) -> _Place:
    check_running(state, "nothing is to be read")
    pass_by_pass = is_first(load, state.begun, state.fates) or state.run.order is Order.PASSES
    return _Place(load.number, hub, 1 if pass_by_pass else len(load.to_do.stacks))


def judged(
    state: RunState, load: LoadState, push: Pushed, hub: int, ends: Sequence[Length], on_hand: OnHand
) -> Answer:
    """What a reading after the pass of a load pushed last means.

    Raises
    ------
    InputError : it cannot be.
    """
    if not 1 <= len(ends) <= len(_ENDS):
        raise InputError("measured", "write one reading, or one for each end of the hub")
    run = state.run
    before = [found for one in load.passes[:-1] if (found := one.read_of(hub))]
    reading = PressReading(
        broach=state.broach(push.broach),
        bushing=state.bushing(push.bushing),
        stack=state.stack(push.shims),
        top=ends[0],
        bottom=ends[1] if len(ends) > 1 else None,
        before=before[-1].shallowest if before else None,
    )
    shelf = shelf_for(state, on_hand)
    trial = Trial(run.hub_of(max(1, len(state.in_work(load)))), run.keyway, shelf, run.settings, push.press)
    return plan_after(trial, reading, gauge_bands(state, load, on_hand.taken, shelf.shims))


def _read_steps(
    state: RunState,
    load: LoadState,
    hub: int,
    ends: Sequence[Length],
    sure: bool,
    gauge: Gauge,
    by: str,
) -> tuple[Step, ...]:
    push = load.passes[-1]
    error = state.run.settings.error_reading.nm
    budget, plain = budget_of_push(state, load, push.shims), state.plain_of(push)
    steps = []
    for place, t in enumerate(ends):
        step = Step(
            step=state.step + 1 + place,
            act=RunAct.READ,
            by=by,
            load=load.number,
            hubs=state.in_work(load),
            pass_number=push.number,
            shims=push.shims,
            plain=plain,
            expected=Length(budget.expected),
            low=Length(budget.low),
            high=Length(budget.high),
            hub=hub,
            end=_ENDS[place] if len(ends) > 1 else None,
            way=gauge.way,
            typed=gauge.typed[place] if place < len(gauge.typed) else "",
            t=t,
            with_what=gauge.with_what,
            doubtful=not budget.holds(t.nm, error),
            sure=sure,
        )
        steps.append(step)
    return tuple(steps)
