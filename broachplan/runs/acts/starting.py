"""Start a run: the plan that is carried out, and the pieces it takes."""

from __future__ import annotations

from collections.abc import Collection

from broachplan.errors import InputError
from broachplan.planner.answer import Plan
from broachplan.runs.ahead import OnHand, to_do_of
from broachplan.runs.run import Run
from broachplan.runs.steps import RunAct, Step


def taken_by(plan: Plan) -> tuple[str, ...]:
    """The tags that a plan takes to the press, the press itself last."""
    return (*plan.taken, plan.press.tag) if plan.press else plan.taken


def started(
    run: Run, plan: Plan, on_hand: OnHand, *, lent: Collection[str] | None = None, by: str = ""
) -> Step:
    """The first step of a run.

    Parameters
    ----------
    plan : of one load, as the planner found it.
    on_hand : how the pieces were measured, and their versions.
    lent : the tags that the run lends, where the worker has some of them already; None: all.

    Raises
    ------
    InputError : the hubs do not go up in whole loads.
    """
    if run.quantity % run.hub.stack:
        raise InputError(
            "hubs",
            f"{run.hub.stack} are cut at once, so write a multiple of {run.hub.stack}; the rest is a run of its own",
            shown=run.quantity,
        )
    there = {piece.tag: piece for one in plan.passes for piece in one.stack}
    pieces = [plan.broach, plan.bushing, *(there[tag] for tag in plan.taken[2:])]
    if plan.press:
        pieces.append(plan.press)
    taken = tuple(on_hand.taken(piece, lent=lent is None or piece.tag in lent) for piece in pieces)
    return Step(step=1, act=RunAct.STARTED, by=by, new_hubs=to_do_of(plan), pieces=taken)
