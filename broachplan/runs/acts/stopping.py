"""Stop, park, resume, end or give up a run."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from broachplan.runs.acts.acting import Acted, check_open, check_running, check_why, next_step, refused
from broachplan.runs.acts.following import followed
from broachplan.runs.ahead import OnHand
from broachplan.runs.run import RunPiece
from broachplan.runs.state import Cause, RunState, Waits
from broachplan.runs.steps import RunAct, ToDo

_OF_EVENTS = frozenset({Cause.PARKED, Cause.PART_WAY, Cause.BROKEN, Cause.GONE, Cause.STOPPED})


def stopped(state: RunState, *, why: str, by: str = "") -> Acted:
    """Stop for now; the tools stay out.

    Raises
    ------
    InputError : no reason.
    CribStateError : the run is not running.
    """
    check_running(state, "it cannot be stopped")
    return Acted(state, (next_step(state, RunAct.STOPPED, by, why=check_why(why, "the run stops")),))


def parked(state: RunState, *, by: str = "", why: str = "") -> Acted:
    """The tools go back into the crib between two passes; others may use them until the run is resumed.

    Raises
    ------
    CribStateError : the run is over or parked, or the broach is stuck in a hub.
    """
    check_open(state, "it cannot be parked")
    if {Cause.PARKED, Cause.PART_WAY} & set(state.causes):
        raise refused(state, "it cannot be parked")
    return Acted(state, (next_step(state, RunAct.PARKED, by, why=why),))


def resumed(
    state: RunState, on_hand: OnHand, *, lent: Collection[str] | None = None, by: str = "", why: str = ""
) -> Acted:
    """Resume a run that was stopped or parked; its tools are taken again, all or none.

    A figure corrected since moves the plain readings and the offset. Where a broach broke, a shim is missing, or nothing
    led to the limits, the rest is planned again; where nothing does, the step is kept and the run stays stopped, blocked.

    Parameters
    ----------
    lent : the tags that the run lends now, where the worker has some of them already; None: all.

    Raises
    ------
    CribStateError : it is not stopped, it waits for a decision on a hub, or a piece it needs is not there or not fit.
    """
    check_open(state, "it cannot be resumed")
    causes = set(state.causes)
    if not causes & (_OF_EVENTS | {Cause.BLOCKED}):
        raise refused(state, "it cannot be resumed")
    pieces = _taken_again(state, on_hand, lent)
    load = state.current
    facts = {"load": load.number, "hubs": state.in_work(load)} if load else {}
    step = next_step(state, RunAct.RESUMED, by, why=why, pieces=pieces, **facts)
    broke = any(tag in state.dropped for tag in _pair(load.to_do if load else state.new_hubs))
    return followed(state, step, on_hand, by, any_pair=broke)


def ended(state: RunState, *, by: str = "", why: str = "") -> Acted:
    """All hubs are cut, and those that must be are read: the run is done.

    Raises
    ------
    CribStateError : something is left to do.
    """
    check_open(state, "it cannot be ended")
    if state.waits is not Waits.END:
        raise refused(state, "it cannot be ended")
    return Acted(state, (next_step(state, RunAct.ENDED, by, why=why),))


def abandoned(state: RunState, *, why: str, by: str = "") -> Acted:
    """Give the run up, whatever is left to do.

    Raises
    ------
    InputError : no reason.
    CribStateError : the run is over.
    """
    check_open(state, "it cannot be abandoned")
    reason = check_why(why, "the run is given up")
    return Acted(state, (next_step(state, RunAct.ABANDONED, by, why=reason),))


def needed(state: RunState) -> tuple[str, ...]:
    """The tags that the run needs to continue, in the order in which it took them, without those gone or broken."""
    plans = [load.to_do for load in state.unfinished()]
    if len(state.begun) < len(state.loads):
        plans.append(state.new_hubs)
    wanted = {tag for plan in plans for tag in plan.tags} - state.dropped
    return tuple(tag for tag in state.pieces if tag in wanted)


def _taken_again(state: RunState, on_hand: OnHand, lent: Collection[str] | None) -> tuple[RunPiece, ...]:
    """The pieces as the crib has them now: all that are needed where the run was parked, else those that changed.

    Raises
    ------
    CribStateError : one of them is not there, or may not be used.
    """
    found = []
    for tag in needed(state):
        kept = state.pieces[tag]
        if why := on_hand.shelf.off.get(tag):
            raise refused(state, f"it stays stopped: {tag} is {why}")
        piece = on_hand.known(tag)
        if piece is None:
            raise refused(state, f"it stays stopped: {tag} is not in the crib any more")
        if piece.missing:
            raise refused(state, f"it stays stopped: {tag} is not measured: {', '.join(piece.missing)}")
        now = on_hand.taken(piece, lent=lent is None or tag in lent)
        if tag not in state.held:
            found.append(now)
        elif now.version != kept.version:
            found.append(replace(now, lent_by_run=kept.lent_by_run))
    return tuple(found)


def _pair(to_do: ToDo) -> tuple[str, str]:
    return to_do.broach, to_do.bushing
