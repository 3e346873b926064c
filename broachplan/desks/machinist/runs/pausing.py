"""Stop a run, park it, resume it, end it or give it up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from broachplan.crib.entries import Stamp
from broachplan.crib.records import Condition
from broachplan.crib.words import checked_words, read_condition
from broachplan.desks.attendant.clock import stamped
from broachplan.desks.machinist.runs.keeping import Kept, act_on, note_of
from broachplan.questions.runs import RunEndRequest, RunParkRequest, RunResumeRequest, RunStopRequest
from broachplan.runs.acts.acting import Acted
from broachplan.runs.acts.stopping import abandoned, ended, parked, resumed, stopped
from broachplan.runs.ahead import OnHand
from broachplan.runs.state import RunState
from broachplan.runs.steps import RunAct, Step
from broachplan.store.entries import ActLine
from broachplan.store.run_loans import give_back, inspected
from broachplan.store.runs import StoredRun, with_run
from broachplan.store.transaction import Work
from broachplan.tooling.figures import Kind


def stop_run(db: str | None, request: RunStopRequest, *, at: datetime | None = None) -> Kept:
    """Stop for now; the tools stay out.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : no such run, or no reason.
    CribStateError : the run is not running, or another step was confirmed since.
    StorageError : the database cannot be used.
    """
    why = checked_words(request.why, "why")
    return act_on(db, request, lambda state, _, by: stopped(state, why=why, by=by), at)


def park_run(db: str | None, request: RunParkRequest, *, at: datetime | None = None) -> Kept:
    """Put the tools back into the crib between two passes, as they are: others may use them until the run is resumed.

    Raises
    ------
    CribStateError : the run is over or parked, the broach is stuck in a hub, or another step was confirmed since.
    """
    stamp = stamped(request.by, at)

    def effects(work: Work, stored: StoredRun, before: RunState, step: Step) -> Sequence[ActLine]:
        return give_back(work, with_run(before), {}, stamp, note_of(stored, step))

    return act_on(db, request, lambda state, _, by: parked(state, by=by), at, effects)


def resume_run(db: str | None, request: RunResumeRequest, *, at: datetime | None = None) -> Kept:
    """Resume a run that is stopped or parked. Tools in the crib are lent again, all or none.

    Raises
    ------
    CribStateError : it is not stopped, it waits for a decision on a hub, a tool is lent elsewhere, missing or not fit,
        or another step was confirmed since.
    """

    def act(state: RunState, hand: OnHand, by: str) -> Acted:
        return resumed(state, hand, by=by)

    return act_on(db, request, act, at, goes_on=True)


def end_run(db: str | None, request: RunEndRequest, *, at: datetime | None = None) -> Kept:
    """End a run, or give it up. The tools stay out until the window takes them back, and inspects them.

    With the condition in which the broach was found, what the run lent is returned with it; the rest was not inspected.

    Raises
    ------
    InputError : another condition than there are; giving up without a reason.
    CribStateError : something is left to do, or another step was confirmed since.
    """
    stamp, why = stamped(request.by, at), checked_words(request.why, "why")
    found = read_condition(request.broach_condition) if request.broach_condition.strip() else None

    def act(state: RunState, _: OnHand, by: str) -> Acted:
        return abandoned(state, why=why, by=by) if request.abandon else ended(state, why=why, by=by)

    def effects(work: Work, stored: StoredRun, before: RunState, step: Step) -> Sequence[ActLine]:
        if found is None or step.act not in (RunAct.ENDED, RunAct.ABANDONED):
            return ()
        return list(_returned(work, before, found, stamp, note_of(stored, step)))

    return act_on(db, request, act, at, effects)


def _returned(work: Work, before: RunState, found: Condition, stamp: Stamp, note: str) -> Iterator[ActLine]:
    """What the run lent comes back, the broach as it was found; one that was out before the run is inspected and stays out."""
    held = sorted(with_run(before))
    lent = [tag for tag in held if before.pieces[tag].lent_by_run]
    broaches = [tag for tag in held if before.pieces[tag].piece.kind is Kind.BROACH]
    yield from give_back(work, lent, dict.fromkeys(broaches, found), stamp, note)
    yield from (inspected(work, tag, found, stamp, note) for tag in broaches if tag not in lent)
