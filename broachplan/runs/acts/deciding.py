"""Decisions on a hub: set aside for now, scrapped, or accepted as it is."""

from __future__ import annotations

from broachplan.errors import InputError
from broachplan.runs.acts.acting import Acted, check_open, check_why, checked_hub, next_step, refused
from broachplan.runs.acts.following import went_on
from broachplan.runs.ahead import OnHand
from broachplan.runs.state import Fate, Outcome, RunState, Status
from broachplan.runs.steps import RunAct

_ACTS = {Fate.ASIDE: RunAct.ASIDE, Fate.SCRAPPED: RunAct.SCRAPPED, Fate.ACCEPTED: RunAct.ACCEPTED}


def aside(state: RunState, on_hand: OnHand, hub: int, *, why: str, by: str = "") -> Acted:
    """Set a hub aside; the run continues with the next one, and this one is scrapped or accepted later.

    Raises
    ------
    InputError : no such hub, or no reason.
    CribStateError : the run is over, or the hub was decided on before.
    """
    check_open(state, "no hub can be set aside")
    return _decided(state, on_hand, hub, Fate.ASIDE, check_why(why, "the hub is set aside"), by)


def scrapped(state: RunState, on_hand: OnHand, hub: int, *, why: str, by: str = "") -> Acted:
    """Scrap a hub; raises as `aside`. A hub of a run that is done may be scrapped as long as it is set aside."""
    return _decided(state, on_hand, hub, Fate.SCRAPPED, check_why(why, "the hub is scrapped"), by)


def accepted(state: RunState, on_hand: OnHand, hub: int, *, why: str, by: str) -> Acted:
    """Accept a hub as it is: used so, by whom and why.

    Raises
    ------
    InputError : no such hub, no reason or no name.
    CribStateError : the hub is not cut, or nothing is to be accepted; else as `aside`.
    """
    reason = check_why(why, "the hub is accepted as it is")
    if not by.strip():
        raise InputError("by", "write who accepts the hub")
    number = checked_hub(state, hub)
    load = state.load_of(number)
    if load.last_push is None:
        raise refused(state, f"hub {number} is not cut, so it cannot be accepted")
    if number not in state.fates and state.outcome(number) is Outcome.WITHIN and load.through:
        raise refused(state, f"hub {number} reads within its limits, so nothing is to be accepted")
    return _decided(state, on_hand, hub, Fate.ACCEPTED, reason, by)


def _decided(state: RunState, on_hand: OnHand, hub: int, fate: Fate, why: str, by: str) -> Acted:
    number = checked_hub(state, hub)
    before = state.fates.get(number)
    if before and (before[0] is not Fate.ASIDE or fate is Fate.ASIDE):
        raise refused(state, f"hub {number} is {_words(before[0])} already")
    if state.closed is Status.ABANDONED or (state.closed and not before):
        check_open(state, f"hub {number} cannot be {_words(fate)}")
    load = state.load_of(number)
    step = next_step(
        state, _ACTS[fate], by, load=load.number, hub=number, why=why, pass_number=len(load.passes) or None
    )
    if not load.passes:
        return Acted(state, (step,))
    # With fewer hubs stacked the cut is shorter: other forces, and perhaps one tooth alone in the cut. And a hub that
    # reads past its limit teaches the next ones.
    return went_on(state, (step,), on_hand, by)


def _words(fate: Fate) -> str:
    return "set aside" if fate is Fate.ASIDE else fate.value
