"""A push: through, stopped part way, or never made."""

from __future__ import annotations

from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.runs.acts.acting import Acted, check_open, check_running, next_step, refused
from broachplan.runs.ahead import OnHand, shims_by_tag
from broachplan.runs.band import budget_ahead
from broachplan.runs.fold import after
from broachplan.runs.offsets import offset_of
from broachplan.runs.state import Cause, LoadState, Pushed, RunState, Waits
from broachplan.runs.steps import RunAct, Stack, Step
from broachplan.runs.waiting import hubs_in_words


def pushed(
    state: RunState,
    on_hand: OnHand,
    *,
    shims: Stack | None = None,
    through: int | None = None,
    part_way: bool = False,
    by: str = "",
) -> Acted:
    """The push that is due is through, with what was planned or with ``shims`` in; or it stopped part way.

    ``through`` books all passes of the load up to that one, a step each; gauging that was due between them is left out.

    Raises
    ------
    InputError : shims that are not here, or ``through`` together with shims or part way.
    CribStateError : no push is due, or the pass was booked before.
    """
    if through is not None and (part_way or shims is not None):
        raise InputError("through", "write it alone: what was planned was in, and all is through")
    load = load_due(state, through)
    if through is None:
        return Acted(state, (push_step(state, load, on_hand, shims, by, part_way=part_way),))
    return Acted(state, through_steps(state, load, through - len(load.passes), on_hand, by))


def not_pushed(state: RunState, *, takes_back: int | None = None, by: str = "", why: str = "") -> Acted:
    """The push that is due was not made; or the push of step ``takes_back``, the last one, was booked and never made.

    Raises
    ------
    CribStateError : no push is due; that push is not the last one, or its hub was read since.
    """
    if takes_back is None:
        if state.waits is not Waits.PUSH and Cause.PART_WAY not in state.causes:
            raise refused(state, "no push is due")
        load = state.current
        assert load is not None
        facts = {"load": load.number, "hubs": state.in_work(load), "pass_number": len(load.passes) + 1}
        return Acted(state, (next_step(state, RunAct.NOT_PUSHED, by, why=why, **facts),))
    check_open(state, "nothing can be taken back")
    load, push = _last_pushed(state)
    if push is None or push.step != takes_back or push.readings:
        raise refused(
            state,
            f"step {takes_back} is not a push that can be taken back: only the last one, before it is read",
        )
    step = next_step(
        state,
        RunAct.NOT_PUSHED,
        by,
        load=load.number,
        hubs=state.steps[push.step - 1].hubs,
        pass_number=push.number,
        piece=push.broach,
        corrects=push.step,
        why=why,
    )
    return Acted(state, (step,))


def through_steps(
    state: RunState, load: LoadState, passes: int, on_hand: OnHand, by: str
) -> tuple[Step, ...]:
    """So many passes of a load with what was planned, a step each."""
    steps: list[Step] = []
    for _ in range(passes):
        now = after(state, *steps)
        steps.append(push_step(now, now.load(load.number), on_hand, None, by))
    return tuple(steps)


def push_step(
    state: RunState, load: LoadState, on_hand: OnHand, shims: Stack | None, by: str, *, part_way: bool = False
) -> Step:
    """The step of the push that is due on a load."""
    to_do = load.to_do
    planned = to_do.stacks[0]
    was_in = planned if shims is None or set(shims) == set(planned) else shims
    taken = shims_by_tag(state, on_hand, was_in)
    with_new = state.with_pieces(taken)
    budget = budget_ahead(with_new, load, was_in)
    plain = with_new.plain(to_do.broach, to_do.bushing, was_in)
    return next_step(
        state,
        RunAct.PART_WAY if part_way else RunAct.PUSHED,
        by,
        load=load.number,
        hubs=state.in_work(load),
        pass_number=len(load.passes) + 1,
        shims=was_in,
        plain=plain,
        expected=plain + offset_of(state, load).mean,
        low=Length(budget.low),
        high=Length(budget.high),
        piece=to_do.broach,
        pieces=taken,
    )


def load_due(state: RunState, through: int | None) -> LoadState:
    """The load that is pushed now; ``through`` is the pass up to which it is.

    Raises
    ------
    InputError : the load has no such pass.
    CribStateError : no push is due, or the pass was booked before.
    """
    check_running(state, "nothing can be pushed")
    waiting = state.to_gauge[0]
    load = state.load(waiting) if waiting else state.current
    if through is not None and load is not None:
        last = len(load.passes) + len(load.to_do.stacks)
        if through <= len(load.passes):
            raise refused(state, f"pass {through} of {hubs_in_words(state.in_work(load))} is booked already")
        if through > last:
            raise InputError(
                "through", f"{hubs_in_words(state.in_work(load))} has {last} passes", shown=through
            )
        return load
    if state.waits is not Waits.PUSH or load is None:
        raise refused(state, "no push is due")
    return load


def _last_pushed(state: RunState) -> tuple[LoadState, Pushed | None]:
    loads = [load for load in state.begun.values() if load.passes]
    if not loads:
        return state.load(1), None
    load = max(loads, key=lambda one: one.passes[-1].step)
    return load, load.last_push
