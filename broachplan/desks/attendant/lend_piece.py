"""Hand a piece out, or a whole set."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from broachplan.crib.loans import Loan, checked_loan, why_not_lend
from broachplan.crib.words import LONGEST_NAME, checked_day, checked_name, checked_words
from broachplan.desks.attendant.clock import stamped
from broachplan.errors import CribStateError
from broachplan.store.entries import record
from broachplan.store.loans import hand_out
from broachplan.store.standings import Stood, in_set, standing_of
from broachplan.store.work import writing

__all__ = ["Lent", "lend_piece", "lend_set"]


@dataclass(frozen=True, slots=True)
class Lent:
    """The tags handed out, and the loan that each of them is on."""

    tags: tuple[str, ...]
    loan: Loan


def lend_piece(
    db: str | None,
    tag: str,
    to: str,
    *,
    job: str = "",
    due: str = "",
    note: str = "",
    by: str = "",
    at: datetime | None = None,
) -> Lent:
    """Hand the piece with a tag to a person.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    to : who gets it, any name.
    job : what it is for; a piece held that day is lent for the work that it is held for and for no other.
    due : the day it should be back by, as 2031-05-28; empty where nobody said.
    by, at : who hands it out, and when; see `stamped`.

    Raises
    ------
    InputError : an unknown tag, a name or a day that cannot be.
    CribStateError : it is lent, worn, unfit, retired, or held that day for other work; one line says which.
    StorageError : the database cannot be used.
    """
    return _lend(db, "", tag, to, job, due, note, by, at)


def lend_set(
    db: str | None,
    name: str,
    to: str,
    *,
    job: str = "",
    due: str = "",
    note: str = "",
    by: str = "",
    at: datetime | None = None,
) -> Lent:
    """Hand out every piece of a set or, where one of them cannot be, none; see `lend_piece`."""
    return _lend(db, name, "", to, job, due, note, by, at)


def _lend(
    db: str | None,
    name: str,
    tag: str,
    to: str,
    job: str,
    due: str,
    note: str,
    by: str,
    at: datetime | None,
) -> Lent:
    stamp = stamped(by, at)
    job, note = checked_words(job, "job", LONGEST_NAME), checked_words(note, "note")
    loan = checked_loan(checked_name(to, "to"), stamp.day, checked_day(due, "due"), job)
    with writing(db) as work:
        pieces = [standing_of(work, tag, stamp.day)] if not name else in_set(work, name, stamp.day)
        _check(pieces, loan)
        record(work, stamp, [hand_out(work, stood, loan, note) for stood in pieces])
        work.commit()
    return Lent(tuple(stood.standing.tag for stood in pieces), loan)


def _check(pieces: Sequence[Stood], loan: Loan) -> None:
    reasons = [why_not_lend(stood.standing, loan.job, loan.since) for stood in pieces]
    if reasons := [why for why in reasons if why]:
        raise CribStateError("; ".join(reasons))
