"""Hand a piece out, or a whole set."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from broachplan.crib.loans import LONGEST_LACKED, Asker, Loan, checked_loan, why_not_lend
from broachplan.crib.spans import days_of_loan, wanted
from broachplan.crib.words import LONGEST_NAME, checked_name, checked_words, read_day, read_tag_list
from broachplan.desks.attendant.clock import stamped
from broachplan.desks.attendant.named import named_pieces
from broachplan.errors import AskedFirst, CribStateError, InputError
from broachplan.questions.acts import LendRequest
from broachplan.store.entries import record
from broachplan.store.holds import held_within
from broachplan.store.job_holds import asker_named
from broachplan.store.loans import hand_out
from broachplan.store.settings_store import load_settings
from broachplan.store.stored_pieces import StoredPiece
from broachplan.store.transaction import Work
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
        lacked = f", without {self.loan.lacked}" if self.loan.lacked else ""
        return (f"{what} lent to {self.loan.to}{self.loan.terms}{lacked}",)


def lend(db: str | None, request: LendRequest, *, at: datetime | None = None) -> Lent:
    """Hand a piece, or all pieces of a set or none, to a person.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : an unknown tag or set, a name or a day that cannot be, pieces left out that the set does not have.
    CribStateError : a piece is lent, not fit, missing or retired; one line says which.
    AskedFirst : a piece is held on one of the loan's days for other work, and nobody said ``anyway``; or some of a set
        cannot be lent, and the rest can.
    StorageError : the database cannot be used.
    """
    stamp = stamped(request.by, at)
    job, note = checked_words(request.job, "job", LONGEST_NAME), checked_words(request.note, "note")
    due = read_day(request.due, "due", today=stamp.day)
    loan = checked_loan(checked_name(request.to, "to"), stamp.day, due, job)
    with writing(db) as work:
        pieces, lacking = _lent_of(named_pieces(work, request.tag, request.set_name), request)
        loan = replace(loan, lacked=", ".join(lacking))
        _check(pieces, loan, whole=len(pieces) == 1 or bool(lacking))
        if not request.anyway:
            check_not_wanted(work, pieces, loan, asker_named(work, loan.to, loan.job))
        record(work, stamp, [hand_out(work, stored, loan, note) for stored in pieces])
        work.commit()
    return Lent(tuple(stored.status.tag for stored in pieces), loan, request.set_name.strip())


def check_not_wanted(work: Work, pieces: Sequence[StoredPiece], loan: Loan, asker: Asker) -> None:
    """Raise `AskedFirst` where a piece is held for work that is not the asker's on a day of a loan that is to begin."""
    span = days_of_loan(loan, loan.since, load_settings(work).loan_days)
    reasons = (
        wanted(stored.status.tag, held_within(work, stored, span.first, span.last), span, asker)
        for stored in pieces
    )
    if found := [why for why in reasons if why]:
        raise AskedFirst("; ".join(found))


def _lent_of(
    pieces: Sequence[StoredPiece], request: LendRequest
) -> tuple[Sequence[StoredPiece], tuple[str, ...]]:
    """The pieces that are lent, and the tags of those of their set that are not."""
    tags = read_tag_list(request.lacking, "without")
    if tags and not request.set_name.strip():
        raise InputError("without", "only a set, named with --set, is lent without some of its pieces")
    spelt = {stored.status.tag.casefold(): stored.status.tag for stored in pieces}
    for tag in tags:
        if tag.casefold() not in spelt:
            raise InputError("without", f"the set has {', '.join(spelt.values())}", read=tag)
    lacking = tuple(sorted(spelt[tag.casefold()] for tag in tags))
    if len(", ".join(lacking)) > LONGEST_LACKED:
        raise InputError("without", "so many are left out that the rest is better lent piece by piece")
    lent = [stored for stored in pieces if stored.status.tag not in lacking]
    if not lent:
        raise InputError("without", "nothing of the set is left to lend", read=request.lacking)
    return lent, lacking


def _check(pieces: Sequence[StoredPiece], loan: Loan, *, whole: bool) -> None:
    reasons = {stored.status.tag: why_not_lend(stored.status, loan.job, loan.since) for stored in pieces}
    reasons = {tag: why for tag, why in reasons.items() if why}
    if reasons and not whole and len(reasons) < len(pieces):
        tags = ",".join(reasons)
        words = "; ".join(reasons.values())
        raise AskedFirst(f"{words}; the rest can be lent without {tags}", lacking=tags)
    if reasons:
        raise CribStateError("; ".join(reasons.values()))
