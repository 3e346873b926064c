"""Trouble with a piece: a shim that is missing, a broach that broke."""

from __future__ import annotations

from broachplan.errors import InputError
from broachplan.runs.acts.acting import Acted, check_open, next_step
from broachplan.runs.acts.continuing import way_of_new_hubs, way_on
from broachplan.runs.acts.following import followed
from broachplan.runs.ahead import OnHand
from broachplan.runs.fold import after
from broachplan.runs.state import RunState
from broachplan.runs.steps import RunAct
from broachplan.tooling.pieces import Broach, Piece, Shim


def gone(state: RunState, on_hand: OnHand, shim: str, *, by: str = "", why: str = "") -> Acted:
    """A shim of the run is missing. The run stops; what can be done without that shim is planned already.

    Raises
    ------
    InputError : the run has no such shim.
    CribStateError : the run is over.
    """
    check_open(state, "no shim can be missing from it")
    _check_has(state, shim, Shim, "shim")
    load = state.current
    step = next_step(state, RunAct.GONE, by, load=load.number if load else None, piece=shim, why=why)
    return followed(state, step, on_hand, by)


def broken(state: RunState, on_hand: OnHand, broach: str, *, by: str = "", why: str = "") -> Acted:
    """The broach broke. The run stops; the answer says whether another pair can continue from the metal as it is.

    Raises
    ------
    InputError : the run has no such broach.
    CribStateError : the run is over.
    """
    check_open(state, "no broach can break in it")
    _check_has(state, broach, Broach, "broach")
    load = state.current
    facts = {"load": load.number, "hubs": state.in_work(load)} if load else {}
    step = next_step(state, RunAct.BROKEN, by, piece=broach, why=why, **facts)
    now = after(state, step)
    if load is None:
        return Acted(state, (step,))
    # Taken by resume and not here: the hub may as well be given up.
    way = (
        way_on(now, now.load(load.number), on_hand, any_pair=True)
        if load.passes
        else way_of_new_hubs(now, on_hand, any_pair=True)
    )
    found = way.to_do if way.to_do and way.to_do.stacks else None
    return Acted(state, (step,), found, way.answer)


def _check_has(state: RunState, tag: str, kind: type[Piece], what: str) -> None:
    kept = state.pieces.get(tag)
    if kept is None or tag in state.dropped or not isinstance(kept.piece, kind):
        mine = sorted(
            one
            for one, piece in state.pieces.items()
            if isinstance(piece.piece, kind) and one not in state.dropped
        )
        raise InputError(what, f"the run has: {', '.join(mine) or 'none'}", read=tag)
