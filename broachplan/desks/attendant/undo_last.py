"""Undo the last action on the crib."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from broachplan.crib.entries import Entry
from broachplan.desks.attendant.clock import stamped
from broachplan.jobs.entries import JobEntry
from broachplan.questions.acts import UndoRequest
from broachplan.store.undo import take_back_last
from broachplan.store.work import writing


@dataclass(frozen=True, slots=True)
class Undone:
    """A piece, or a job, and the entry of its history that was taken back."""

    tag: str
    entry: Entry | JobEntry


def undo_last(db: str | None, request: UndoRequest, *, at: datetime | None = None) -> tuple[Undone, ...]:
    """Undo the last action on all its pieces, no matter who did it; done again, it undoes the one before.

    The history keeps the action and shows that it was undone. A piece that was added is retired, and a job that was
    added is not there any more.

    Raises
    ------
    InputError : a name that cannot be.
    CribStateError : there is nothing to undo, another action than the one shown is the last, or a piece is not as the action left it.
    StorageError : the database cannot be used.
    """
    stamp = stamped(request.by, at)
    with writing(db) as work:
        undone = tuple(Undone(tag, entry) for tag, entry in take_back_last(work, stamp, request.last))
        work.commit()
    return undone
