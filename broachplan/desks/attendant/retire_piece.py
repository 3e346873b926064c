"""Take a piece out of use for good; what it was and who had it stays in the history."""

from __future__ import annotations

from datetime import datetime

from broachplan.crib.entries import RETIRED, Act, Change
from broachplan.crib.loans import why_not_retire
from broachplan.crib.words import checked_words
from broachplan.desks.attendant.clock import stamped
from broachplan.errors import CribStateError
from broachplan.store.entries import Line, record
from broachplan.store.pieces import mark
from broachplan.store.standings import standing_of
from broachplan.store.work import writing


def retire_piece(
    db: str | None, tag: str, *, note: str = "", by: str = "", at: datetime | None = None
) -> str:
    """Retire the piece with a tag, which is given back; no list and no plan has it from now on.

    Raises
    ------
    InputError : an unknown tag, or a note or name that cannot be.
    CribStateError : it is out, or retired already.
    StorageError : the database cannot be used.
    """
    stamp, note = stamped(by, at), checked_words(note, "note")
    with writing(db) as work:
        stood = standing_of(work, tag)
        if why := why_not_retire(stood.standing):
            raise CribStateError(why)
        mark(work, [stood.id], retired=1)
        record(work, stamp, [Line(stood.id, Act.RETIRED, (Change(RETIRED, 0, 1),), note)])
        work.commit()
    return stood.standing.tag
