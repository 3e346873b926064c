"""Pushes, as they are made."""

from __future__ import annotations

from datetime import datetime

from broachplan.desks.machinist.runs.keeping import Kept, act_on
from broachplan.questions.read_run import read_number, read_tags
from broachplan.questions.runs import RunPushedRequest
from broachplan.runs.acts.acting import Acted
from broachplan.runs.acts.pushing import pushed
from broachplan.runs.ahead import OnHand
from broachplan.runs.state import RunState


def push(db: str | None, request: RunPushedRequest, *, at: datetime | None = None) -> Kept:
    """Book the push that is due, with what was really in; its cuts are booked on the broach.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : no such run, shims that are not here, or things typed that do not go together.
    CribStateError : no push is due, another step was confirmed since, or a shim that was in is lent elsewhere.
    StorageError : the database cannot be used.
    """
    shims = read_tags(request.shims) if request.shims.strip() else None
    through = read_number(request.through, "through") if request.through.strip() else None

    def act(state: RunState, hand: OnHand, by: str) -> Acted:
        return pushed(state, hand, shims=shims, through=through, part_way=request.part_way, by=by)

    return act_on(db, request, act, at)
