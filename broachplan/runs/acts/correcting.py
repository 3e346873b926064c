"""Put right what was booked: what was really in, what was really read, a figure measured again; or take another plan."""

from __future__ import annotations

from dataclasses import replace

from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.runs.acts.acting import Acted, check_open, check_running, check_why, next_step, refused
from broachplan.runs.acts.continuing import (
    WayOn,
    taken_for,
    with_new_hubs,
    with_to_do,
)
from broachplan.runs.acts.following import followed, went_on
from broachplan.runs.acts.reading import Gauge, judged
from broachplan.runs.ahead import OnHand, plan_left, shims_by_tag, to_do_of, worked_out
from broachplan.runs.band import budget_of_push, is_second_push
from broachplan.runs.fold import after, state_of
from broachplan.runs.run import RunPiece
from broachplan.runs.state import Cause, LoadState, Pushed, RunState, Status, Waits
from broachplan.runs.steps import RunAct, Stack, Step, ToDo
from broachplan.runs.waiting import hubs_in_words


def corrected_shims(
    state: RunState, on_hand: OnHand, at: int, shims: Stack, *, why: str, by: str = ""
) -> Acted:
    """What was really in at the push of step ``at``; that step stays as it is.

    Raises
    ------
    InputError : no such push, shims that are not here, or no reason.
    CribStateError : the run is over.
    """
    check_open(state, "no push can be corrected")
    reason, origin = check_why(why, "the step is put right"), origin_of(state, at)
    load, push = _push_of(state, origin, at)
    taken = shims_by_tag(state, on_hand, shims)
    step = next_step(
        state,
        RunAct.CORRECTED,
        by,
        load=load,
        hubs=state.steps[push.step - 1].hubs,
        pass_number=push.number,
        shims=shims,
        plain=state.with_pieces(taken).plain(push.broach, push.bushing, shims),
        why=reason,
        corrects=at,
        pieces=taken,
    )
    step = replace(step, doubtful=_is_doubtful(after(state, step), load, push.step))
    return went_on(state, (step,), on_hand, by)


def _is_doubtful(state: RunState, number: int, pushed: int) -> bool:
    """Whether what was read after the pass pushed last lies off the band of the stack that was in."""
    load = state.load(number)
    push = load.passes[-1]
    if push.step != pushed:
        return False
    budget, error = budget_of_push(state, load, push.shims), state.run.settings.error_reading.nm
    return any(not budget.holds(gauged.t.nm, error) for one in push.readings for gauged in one.ends)


def corrected_reading(
    state: RunState,
    on_hand: OnHand,
    at: int,
    t: Length | None,
    *,
    why: str,
    by: str,
    gauge: Gauge = Gauge(),
) -> Acted:
    """What the reading of step ``at`` really was; None: it was none. That step stays as it is.

    Raises
    ------
    InputError : no such reading, a reading that cannot be, no name or no reason.
    CribStateError : the run was abandoned, or that reading was replaced since.
    """
    if state.closed is Status.ABANDONED:
        check_open(state, "no reading can be corrected")
    reason, origin = check_why(why, "the reading is put right"), origin_of(state, at)
    if not by.strip():
        raise InputError("by", "write who puts the reading right")
    if origin.act is not RunAct.READ:
        raise InputError("at", "name a step that booked a reading", shown=at)
    _check_possible(state, on_hand, origin, at, t)
    step = next_step(
        state,
        RunAct.CORRECTED,
        by,
        load=origin.load,
        hubs=origin.hubs,
        pass_number=origin.pass_number,
        hub=origin.hub,
        end=origin.end,
        way=gauge.way if t else "",
        typed=gauge.typed[0] if t and gauge.typed else "",
        t=t,
        with_what=gauge.with_what,
        why=reason,
        corrects=at,
    )
    return went_on(state, (step,), on_hand, by)


def _check_possible(state: RunState, on_hand: OnHand, origin: Step, at: int, t: Length | None) -> None:
    """Refuse where the reading was replaced since, or where what it really was cannot be."""
    for load in state.begun.values():
        for place, push in enumerate(load.passes, 1):
            if any(gauged.step == origin.step for one in push.readings for gauged in one.ends):
                if t is not None and origin.hub is not None:
                    by_then = replace(load, passes=load.passes[:place])
                    judged(state, by_then, push, origin.hub, [t], on_hand)
                return
    raise refused(state, f"the reading of step {at} was replaced since")


def origin_of(state: RunState, at: int) -> Step:
    """The push or reading that a step is about, also where it is a correction itself.

    Raises
    ------
    InputError : the run has no such step, or it is neither.
    """
    if not 1 <= at <= state.step:
        raise InputError("at", f"the run has steps 1 to {state.step}", shown=at)
    step = state.steps[at - 1]
    if step.act is RunAct.CORRECTED and step.corrects is not None:
        return origin_of(state, step.corrects)
    if step.act not in (RunAct.PUSHED, RunAct.READ):
        raise InputError("at", f"step {at} is neither a push nor a reading; name one that is")
    return step


def measured(state: RunState, on_hand: OnHand, piece: RunPiece, *, by: str = "", why: str = "") -> Acted:
    """A piece of the run was measured again: its readings stay, the offset is set again.

    Raises
    ------
    InputError : the run does not have the piece.
    CribStateError : the run is over or parked.
    """
    check_open(state, "no figure can be changed")
    if piece.tag not in state.held:
        if Cause.PARKED in state.causes:
            raise refused(state, "a piece in the crib is measured there")
        raise InputError("piece", "name a piece that the run has", read=piece.tag)
    load = state.current
    step = next_step(
        state,
        RunAct.MEASURED,
        by,
        load=load.number if load else None,
        piece=piece.tag,
        with_what=piece.measured.with_what,
        why=why,
        pieces=(piece,),
    )
    return followed(state, step, on_hand, by)


def again(state: RunState, *, by: str = "") -> Acted:
    """A second push of the same stack is next.

    Raises
    ------
    CribStateError : nothing was pushed on this load, a second push is next already, or it would find no metal.
    """
    load = state.current
    if load is None or not load.passes or set(state.causes) - {Cause.BLOCKED} or state.closed:
        raise refused(state, "no stack can be pushed again")
    push = load.passes[-1]
    hubs = hubs_in_words(state.in_work(load))
    if load.to_do.stacks and is_second_push(load, load.to_do.stacks[0]):
        raise refused(state, f"a second push of pass {push.number} of {hubs} is next already")
    whole = [one for one in push.readings if one.whole and one.hub in state.in_work(load)]
    if any(one.deepest >= state.plain_of(push) for one in whole):
        raise refused(state, f"a second push of pass {push.number} of {hubs} would find no metal")
    if state.to_gauge[1]:
        raise refused(state, f"pass {push.number} of {hubs} is not read yet")
    to_do = ToDo(push.broach, push.bushing, push.press, (push.shims, *load.to_do.stacks))
    facts = {"load": load.number, "hubs": state.in_work(load), "pass_number": push.number}
    return Acted(state, (next_step(state, RunAct.AGAIN, by, shims=push.shims, to_do=to_do, **facts),))


def replanned(state: RunState, on_hand: OnHand, *, by: str = "", why: str = "") -> Acted:
    """The other plan is taken; see `other_plan`.

    Raises
    ------
    CribStateError : no push is due, or there is no other plan.
    """
    check_running(state, "no other plan can be taken")
    load = state.current
    if state.waits is not Waits.PUSH or load is None:
        raise refused(state, "no other plan can be taken")
    other = other_plan(state, on_hand)
    if other is None:
        raise refused(state, "there is no other plan")
    way = WayOn(other, pieces=taken_for(state, on_hand, other))
    step = next_step(state, RunAct.REPLANNED, by, load=load.number, why=why)
    step = with_to_do(step, load.number, way) if load.passes else with_new_hubs(step, way)
    return Acted(state, (step,), load.to_do)


def other_plan(state: RunState, on_hand: OnHand) -> ToDo | None:
    """The plan that could be taken instead of the one that is due: the new one, or the one that it took the place of.

    None where there is none that keeps the rules.
    """
    load = state.current
    if state.waits is not Waits.PUSH or load is None:
        return None
    answer = plan_left(state, load, on_hand)
    found = to_do_of(answer.plans[0]) if answer.ready else None
    if found is not None and not found.cuts_like(load.to_do):
        return found
    before = _planned_before(state, load)
    if before is None or before.cuts_like(load.to_do) or before.tags & state.dropped:
        return None
    ahead = worked_out(state, replace(load, to_do=before))
    return before if ahead is not None and not ahead.broken else None


def _planned_before(state: RunState, load: LoadState) -> ToDo | None:
    """What was to be done on a load before its plan was changed last; None where it never was, or a push came since."""
    for step in reversed(state.steps[1:]):
        if step.act is RunAct.PUSHED and step.load == load.number:
            return None
        of_load = step.to_do is not None and step.load == load.number
        if of_load or (step.new_hubs is not None and not load.passes):
            return state_of(state.run, state.steps[: step.step - 1]).load(load.number).to_do
    return None


def _push_of(state: RunState, origin: Step, at: int) -> tuple[int, Pushed]:
    for load in state.begun.values():
        for push in load.passes:
            if push.step == origin.step:
                return load.number, push
    raise InputError("at", "name a step that booked a push, and was not taken back", shown=at)
