"""Trouble with a piece, and what becomes of a hub."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

from broachplan.crib.entries import Stamp
from broachplan.crib.words import checked_words
from broachplan.desks.attendant.clock import stamped
from broachplan.desks.machinist.runs.keeping import Kept, act_on, note_of
from broachplan.questions.read_run import read_number
from broachplan.questions.runs import (
    HubDecision,
    RunAcceptRequest,
    RunAsideRequest,
    RunBrokenRequest,
    RunGoneRequest,
    RunScrapRequest,
)
from broachplan.runs.acts.deciding import accepted, aside, scrapped
from broachplan.runs.acts.trouble import broken, gone
from broachplan.runs.state import RunState
from broachplan.runs.steps import RunAct, Step
from broachplan.store.entries import ActLine
from broachplan.store.run_loans import broken as note_broken
from broachplan.store.run_loans import gone as note_gone
from broachplan.store.runs import StoredRun
from broachplan.store.transaction import Work

_Noted = Callable[[Work, str, Stamp, str], ActLine]


def shim_gone(db: str | None, request: RunGoneRequest, *, at: datetime | None = None) -> Kept:
    """A shim of the run is missing: its loan ends so, and the run stops.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : no such run, or it has no such shim.
    CribStateError : the run is over, or another step was confirmed since.
    StorageError : the database cannot be used.
    """
    stamp, shim = stamped(request.by, at), request.shim.strip()
    effects = _Effects(RunAct.GONE, note_gone, stamp)
    return act_on(db, request, lambda state, hand, by: gone(state, hand, shim, by=by), at, effects)


def broach_broken(db: str | None, request: RunBrokenRequest, *, at: datetime | None = None) -> Kept:
    """The broach of the run broke: its loan ends so, it is out of service, and the run stops; see `shim_gone`."""
    stamp, broach = stamped(request.by, at), request.broach.strip()
    effects = _Effects(RunAct.BROKEN, note_broken, stamp)
    return act_on(db, request, lambda state, hand, by: broken(state, hand, broach, by=by), at, effects)


def scrap_hub(db: str | None, request: RunScrapRequest, *, at: datetime | None = None) -> Kept:
    """Scrap a hub.

    Raises
    ------
    InputError : no such run or hub, or no reason.
    CribStateError : it was decided on before, the run forbids it, or another step was confirmed since.
    StorageError : the database cannot be used.
    """
    hub, why = _hub_and_why(request)
    return act_on(db, request, lambda state, hand, by: scrapped(state, hand, hub, why=why, by=by), at)


def accept_hub(db: str | None, request: RunAcceptRequest, *, at: datetime | None = None) -> Kept:
    """Accept a hub as it is, which needs a name; see `scrap_hub`."""
    hub, why = _hub_and_why(request)
    return act_on(db, request, lambda state, hand, by: accepted(state, hand, hub, why=why, by=by), at)


def set_hub_aside(db: str | None, request: RunAsideRequest, *, at: datetime | None = None) -> Kept:
    """Set a hub aside for now; see `scrap_hub`."""
    hub, why = _hub_and_why(request)
    return act_on(db, request, lambda state, hand, by: aside(state, hand, hub, why=why, by=by), at)


def _hub_and_why(request: HubDecision) -> tuple[int, str]:
    return read_number(request.hub, "hub"), checked_words(request.why, "why")


class _Effects:
    """What the step of an act does to the piece that it names."""

    def __init__(self, act: RunAct, noted: _Noted, stamp: Stamp) -> None:
        self._act = act
        self._noted = noted
        self._stamp = stamp

    def __call__(self, work: Work, stored: StoredRun, _: RunState, step: Step) -> Sequence[ActLine]:
        if step.act is not self._act:
            return ()
        return [self._noted(work, step.piece, self._stamp, note_of(stored, step))]
