"""Hand a piece out, or a whole set."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from broachplan.crib.loans import Asker, Loan, checked_loan, why_not_lend
from broachplan.crib.words import LONGEST_NAME, checked_name, checked_words, read_day
from broachplan.desks.attendant.clock import stamped
from broachplan.desks.attendant.named import named_pieces
from broachplan.errors import CribStateError
from broachplan.questions.acts import LendRequest
from broachplan.store.entries import record
from broachplan.store.job_holds import asker_named
from broachplan.store.loans import hand_out
from broachplan.store.stored_pieces import StoredPiece
from broachplan.store.work import writing

__all__ = ["Lent", "lend"]


@dataclass(frozen=True, slots=True)
class Lent:
    """The tags handed out, the loan that each of them is on, and the set that was lent whole where it was one."""

    tags: tuple[str, ...]
    loan: Loan
    set_name: str = ""

    @property
    def lines(self) -> tuple[str, ...]:
        """What was lent, to whom, until when."""
        what = f"set {self.set_name} ({', '.join(self.tags)})" if self.set_name else self.tags[0]
        return (f"{what} lent to {self.loan.to}{self.loan.terms}",)


def lend(db: str | None, request: LendRequest, *, at: datetime | None = None) -> Lent:
    """Hand a piece, or all pieces of a set or none, to a person.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : an unknown tag or set, a name or a day that cannot be.
    CribStateError : a piece is lent, worn, unfit, retired, or held that day for other work; one line says which.
    StorageError : the database cannot be used.
    """
    stamp = stamped(request.by, at)
    job, note = checked_words(request.job, "job", LONGEST_NAME), checked_words(request.note, "note")
    due = read_day(request.due, "due", today=stamp.day)
    loan = checked_loan(checked_name(request.to, "to"), stamp.day, due, job)
    with writing(db) as work:
        pieces = named_pieces(work, request.tag, request.set_name, stamp.day)
        _check(pieces, loan, asker_named(work, loan.to, loan.job))
        record(work, stamp, [hand_out(work, stored, loan, note) for stored in pieces])
        work.commit()
    return Lent(tuple(stored.status.tag for stored in pieces), loan, request.set_name.strip())


def _check(pieces: Sequence[StoredPiece], loan: Loan, asker: Asker) -> None:
    reasons = [
        why_not_lend(stored.status.for_work_of(asker, loan.since), loan.job, loan.since) for stored in pieces
    ]
    if reasons := [why for why in reasons if why]:
        raise CribStateError("; ".join(reasons))
