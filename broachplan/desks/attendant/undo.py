"""Undo an action on the crib."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from broachplan.crib.entries import Entry
from broachplan.desks.attendant.clock import stamped
from broachplan.jobs.entries import JobEntry
from broachplan.questions.acts import UndoRequest
from broachplan.store.undo import take_back
from broachplan.store.work import writing


@dataclass(frozen=True, slots=True)
class Undone:
    """A piece, or a job, and the entry of its history that was taken back."""

    tag: str
    entry: Entry | JobEntry


def undo(db: str | None, request: UndoRequest, *, at: datetime | None = None) -> tuple[Undone, ...]:
    """Undo an action on all its pieces: the one of a number, else the last of who asks or of this station.

    The history keeps the action and shows that it was undone. A piece that was added is in the crib no more and its tag
    is free, and so is the number of a job that was added.

    Raises
    ------
    InputError : a name that cannot be, or no action has the number.
    CribStateError : there is nothing to undo, something was done since to what the action changed, or it is no act that
        can be undone; the message says which and by whom.
    StorageError : the database cannot be used.
    """
    stamp = stamped(request.by, at)
    with writing(db) as work:
        undone = tuple(Undone(tag, entry) for tag, entry in take_back(work, stamp, request.action))
        work.commit()
    return undone
