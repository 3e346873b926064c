"""Take a piece back and inspect it, in one step."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from broachplan.crib.loans import Loan, why_not_return
from broachplan.crib.records import Condition
from broachplan.crib.words import checked_words
from broachplan.desks.attendant.clock import stamped
from broachplan.errors import CribStateError, quoted
from broachplan.store.entries import record
from broachplan.store.loans import take_back
from broachplan.store.standings import Stood, in_set, standing_of
from broachplan.store.typed import condition_of
from broachplan.store.work import writing

__all__ = ["Returned", "return_piece", "return_set"]


@dataclass(frozen=True, slots=True)
class Returned:
    """A piece that came back: the loan it was on, what its inspection found, and its home."""

    tag: str
    loan: Loan
    condition: Condition
    home: str


def return_piece(
    db: str | None, tag: str, condition: str, *, note: str = "", by: str = "", at: datetime | None = None
) -> Returned:
    """Take back the piece with a tag; unless it is found fit, no plan uses it from now on.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    condition : what the inspection found: fit, worn or unfit.
    by, at : who takes it back, and when; see `stamped`.

    Raises
    ------
    InputError : an unknown tag, another condition, a note or name that cannot be.
    CribStateError : it is not out.
    StorageError : the database cannot be used.
    """
    return _return(db, "", tag, condition, note, by, at)[0]


def return_set(
    db: str | None, name: str, condition: str, *, note: str = "", by: str = "", at: datetime | None = None
) -> tuple[Returned, ...]:
    """Take back every piece of a set that is out, all found in one condition; see `return_piece`."""
    return _return(db, name, "", condition, note, by, at)


def _return(
    db: str | None, name: str, tag: str, condition: str, note: str, by: str, at: datetime | None
) -> tuple[Returned, ...]:
    stamp, found, note = stamped(by, at), condition_of(condition), checked_words(note, "note")
    with writing(db) as work:
        if name:
            pieces = [stood for stood in in_set(work, name) if stood.standing.loan]
            if not pieces:
                raise CribStateError(f"nothing of the set {quoted(name.strip(), most=200)} is out")
        else:
            pieces = [standing_of(work, tag)]
            if why := why_not_return(pieces[0].standing):
                raise CribStateError(why)
        record(work, stamp, [take_back(work, stood, found, stamp, note) for stood in pieces])
        work.commit()
    return tuple(_returned(stood, found) for stood in pieces)


def _returned(stood: Stood, condition: Condition) -> Returned:
    assert stood.standing.loan is not None
    return Returned(stood.standing.tag, stood.standing.loan, condition, stood.home)
