"""Send a piece out to be reground or repaired, and take it in again: then it waits for its inspection."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from broachplan.crib.loans import Asker, Loan, checked_loan, why_not_receive, why_not_send
from broachplan.crib.records import Condition
from broachplan.crib.words import checked_name, checked_words, read_day
from broachplan.desks.attendant.clock import stamped
from broachplan.desks.attendant.lend_piece import check_not_wanted
from broachplan.errors import CribStateError
from broachplan.questions.acts import ReceiveRequest, SendRequest
from broachplan.store.entries import record
from broachplan.store.loans import hand_out, take_back
from broachplan.store.run_guard import check_not_in_run
from broachplan.store.stored_pieces import stored_piece
from broachplan.store.work import writing
from broachplan.tooling.figures import Kind


@dataclass(frozen=True, slots=True)
class SentOut:
    """A piece that was sent, and to whom until when."""

    tag: str
    loan: Loan

    @property
    def lines(self) -> tuple[str, ...]:
        """Where it is, and when it is expected."""
        back = (
            f", expected back {self.loan.due}"
            if self.loan.due
            else ", and no plan counts on it until it is back"
        )
        return (f"{self.tag} is sent to {self.loan.to}{back}",)


@dataclass(frozen=True, slots=True)
class ReceivedBack:
    """A piece that is back from where it was sent, and its home."""

    tag: str
    kind: Kind
    loan: Loan
    home: str

    @property
    def lines(self) -> tuple[str, ...]:
        """Where it was, and what is to be done with it."""
        next_ = (
            "book the regrind with its new heights, or inspect it"
            if self.kind is Kind.BROACH
            else "inspect it"
        )
        home = f"; its home is {self.home}" if self.home else ""
        return (f"{self.tag} is back from {self.loan.to}, not yet inspected; {next_}{home}",)


def send(db: str | None, request: SendRequest, *, at: datetime | None = None) -> SentOut:
    """Send a piece out, in whatever condition it is; plans count on it from the day after it is expected back.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`. The day it is expected may be counted from then.

    Raises
    ------
    InputError : an unknown tag, a name or a day that cannot be.
    CribStateError : it is out, in use in a run, missing or retired.
    AskedFirst : it is held on a day before it is back, and nobody said ``anyway``.
    StorageError : the database cannot be used.
    """
    stamp, note = stamped(request.by, at), checked_words(request.note, "note")
    back = read_day(request.back, "back", today=stamp.day)
    loan = replace(checked_loan(checked_name(request.to, "to"), stamp.day, back, "", what="back"), sent=True)
    with writing(db) as work:
        stored = stored_piece(work, request.tag)
        check_not_in_run(work, [stored.id])
        if why := why_not_send(stored.status):
            raise CribStateError(why)
        if not request.anyway:
            check_not_wanted(work, [stored], loan, Asker())
        record(work, stamp, [hand_out(work, stored, loan, note)])
        work.commit()
    return SentOut(stored.status.tag, loan)


def receive(db: str | None, request: ReceiveRequest, *, at: datetime | None = None) -> ReceivedBack:
    """Take in a piece that was sent out: it is in the crib, and on no plan until it is inspected.

    Raises
    ------
    InputError : an unknown tag, or a note or name that cannot be.
    CribStateError : it was not sent out.
    StorageError : the database cannot be used.
    """
    stamp, note = stamped(request.by, at), checked_words(request.note, "note")
    with writing(db) as work:
        stored = stored_piece(work, request.tag)
        if why := why_not_receive(stored.status):
            raise CribStateError(why)
        record(work, stamp, [take_back(work, stored, Condition.UNINSPECTED, stamp, note)])
        work.commit()
    loan = stored.status.loan
    assert loan is not None
    return ReceivedBack(stored.status.tag, stored.status.kind, loan, stored.home)
