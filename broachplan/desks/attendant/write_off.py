"""A piece is lost or broken, out or in the crib: a loan ends so, and who had it, for which job and when stays."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from broachplan.crib.entries import Stamp
from broachplan.crib.loans import Loan, why_not_lose
from broachplan.crib.records import KEEP_APART, Condition
from broachplan.crib.words import checked_words
from broachplan.desks.attendant.clock import stamped
from broachplan.errors import CribStateError
from broachplan.questions.acts import BrokenRequest, LostRequest
from broachplan.store.entries import ActLine, record
from broachplan.store.loans import break_, lose
from broachplan.store.run_guard import check_not_in_run
from broachplan.store.stored_pieces import StoredPiece, stored_piece
from broachplan.store.transaction import Work
from broachplan.store.work import writing

_End = Callable[[Work, StoredPiece, Stamp, str], ActLine]


@dataclass(frozen=True, slots=True)
class WrittenOff:
    """A piece that is lost or ``broken``, and the loan that ended so, if it was out."""

    tag: str
    loan: Loan | None
    broken: bool

    @property
    def lines(self) -> tuple[str, ...]:
        """What became of it, and who had it."""
        had = f", {self.loan.words}{self.loan.terms}, until now" if self.loan else ""
        if self.broken:
            return (f"{self.tag} is broken{had}; {Condition.UNFIT.words}: {KEEP_APART}",)
        return (f"{self.tag} is lost{had}; no plan uses it until it is found",)


def lost(db: str | None, request: LostRequest, *, at: datetime | None = None) -> WrittenOff:
    """Note that a piece is lost: it is missing from now on, and `found_piece.note_found` brings it back.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : an unknown tag, or a note or name that cannot be.
    CribStateError : it is in use in a run, missing already or retired.
    StorageError : the database cannot be used.
    """
    return _written_off(db, request, at, lose)


def broken(db: str | None, request: BrokenRequest, *, at: datetime | None = None) -> WrittenOff:
    """Note that a piece is broken: it is in the crib, and out of service; see `lost`."""
    return _written_off(db, request, at, break_)


def _written_off(
    db: str | None, request: LostRequest | BrokenRequest, at: datetime | None, end: _End
) -> WrittenOff:
    stamp, note = stamped(request.by, at), checked_words(request.note, "note")
    with writing(db) as work:
        stored = stored_piece(work, request.tag)
        check_not_in_run(work, [stored.id])
        if why := why_not_lose(stored.status):
            raise CribStateError(why)
        record(work, stamp, [end(work, stored, stamp, note)])
        work.commit()
    return WrittenOff(stored.status.tag, stored.status.loan, end is break_)
