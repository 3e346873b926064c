"""Note what an inspection of a piece in the crib found."""

from __future__ import annotations

from datetime import datetime

from broachplan.crib.entries import Act, changes_between
from broachplan.crib.loans import why_not_inspect
from broachplan.crib.records import Condition
from broachplan.crib.words import checked_words
from broachplan.desks.attendant.clock import stamped
from broachplan.errors import CribStateError
from broachplan.store.entries import Line, record
from broachplan.store.pieces import mark
from broachplan.store.standings import standing_of
from broachplan.store.typed import condition_of
from broachplan.store.wear import change_wear, wear_of
from broachplan.store.work import writing


def inspect_piece(
    db: str | None, tag: str, condition: str, *, note: str = "", by: str = "", at: datetime | None = None
) -> tuple[str, Condition, Condition]:
    """Note in what condition the piece with a tag was found; its tag, the condition before and the one now.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    condition : what the inspection found: fit, worn or unfit.
    by, at : who inspected it, and when; see `stamped`.

    Raises
    ------
    InputError : an unknown tag, another condition, a note or name that cannot be.
    CribStateError : it is out, missing or retired: nobody has it in hand.
    StorageError : the database cannot be used.
    """
    stamp, found, note = stamped(by, at), condition_of(condition), checked_words(note, "note")
    with writing(db) as work:
        stood = standing_of(work, tag)
        if why := why_not_inspect(stood.standing):
            raise CribStateError(why)
        before = stood.standing.condition
        worn = wear_of(work, [stood.id])[stood.id]
        changes = changes_between({"condition": before.value}, {"condition": found.value})
        changes += change_wear(work, stood.id, worn, worn.inspected(stamp.day))
        mark(work, [stood.id], condition=found.value)
        record(work, stamp, [Line(stood.id, Act.INSPECTED, changes, note)])
        work.commit()
    return stood.standing.tag, before, found
