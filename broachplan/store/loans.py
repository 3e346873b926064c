"""Loans opened and closed, by a return or because the piece is lost or broken. That a piece has one open loan at most is held by the database's unique index."""

from __future__ import annotations

from sqlalchemy import insert, update
from sqlalchemy.exc import IntegrityError

from broachplan.crib.entries import MISSING_SINCE, Act, Change, Stamp, changes_between
from broachplan.crib.loans import Loan, already_out
from broachplan.crib.records import FOUND, Condition
from broachplan.crib.wear import Booking
from broachplan.errors import CribStateError
from broachplan.store.entries import ActLine
from broachplan.store.pieces import mark
from broachplan.store.stored_pieces import StoredPiece, stored_pieces
from broachplan.store.tables import LOAN
from broachplan.store.transaction import Work
from broachplan.store.wear import change_wear, wear_of


def hand_out(work: Work, stored: StoredPiece, loan: Loan, note: str) -> ActLine:
    """Open a loan; the entry for the caller to record.

    Raises
    ------
    CribStateError : somebody else was handed the piece first; says who has it and since when.
    """
    row = {
        "piece_id": stored.id,
        "to_name": loan.to,
        "since": loan.since.isoformat(),
        "due": loan.due.isoformat() if loan.due else None,
        "job": loan.job,
        "sent": int(loan.sent),
        "lacked": loan.lacked,
    }
    try:
        with work.connection.begin_nested():
            work.connection.execute(insert(LOAN).values(row))
    except IntegrityError as error:
        (now,) = stored_pieces(work, [stored.status.tag])
        if now.status.loan is None:
            raise
        raise CribStateError(already_out(stored.status.tag, now.status.loan)) from error
    act = Act.SENT if loan.sent else Act.LENT
    return ActLine(stored.id, act, changes_between({}, loan.values), note)


def take_back(
    work: Work,
    stored: StoredPiece,
    condition: Condition | None,
    stamp: Stamp,
    note: str,
    booking: Booking | None = None,
) -> ActLine:
    """Close a piece's open loan, note what its inspection found and what it cut; the entry of it.

    ``condition`` is None where it stays as it was, though nobody inspected it.

    Raises
    ------
    CribStateError : it is not out any more.
    """
    loan = stored.status.loan
    assert loan is not None
    changes = end_loan(work, stored, stamp)
    if condition is not None:
        changes += _set_condition(work, stored, condition)
    worn = wear_of(work, [stored.id])[stored.id]
    cut = worn.booked(booking) if booking else worn
    if condition in FOUND:
        cut = cut.inspected(stamp.day)
    act = Act.BACK if loan.sent else Act.RETURNED
    return ActLine(stored.id, act, changes + change_wear(work, stored.id, worn, cut), note)


def lose(work: Work, stored: StoredPiece, stamp: Stamp, note: str) -> ActLine:
    """A piece is missing from today: its loan, where it has one, ends so. The entry of it."""
    today = stamp.day.isoformat()
    changes = end_loan(work, stored, stamp)
    mark(work, [stored.id], missing_since=today)
    return ActLine(stored.id, Act.LOST, (*changes, Change(MISSING_SINCE, None, today)), note)


def break_(work: Work, stored: StoredPiece, stamp: Stamp, note: str) -> ActLine:
    """A piece broke: its loan, where it has one, ends so, and no plan uses it. The entry of it."""
    changes = end_loan(work, stored, stamp)
    return ActLine(stored.id, Act.BROKEN, changes + _set_condition(work, stored, Condition.UNFIT), note)


def end_loan(work: Work, stored: StoredPiece, stamp: Stamp) -> tuple[Change, ...]:
    """Close the open loan of a piece, if it has one; what became different.

    Raises
    ------
    CribStateError : it is not out any more.
    """
    loan = stored.status.loan
    if loan is None:
        return ()
    # A clock that was set back must not keep a piece from coming back.
    returned = max(stamp.day, loan.since).isoformat()
    is_open = (LOAN.c.piece_id == stored.id) & LOAN.c.returned.is_(None)
    if not work.connection.execute(update(LOAN).where(is_open).values(returned=returned)).rowcount:
        raise CribStateError(f"{stored.status.tag} is not out")
    return changes_between(loan.values, dict.fromkeys(loan.values))


def _set_condition(work: Work, stored: StoredPiece, now: Condition) -> tuple[Change, ...]:
    before = stored.status.condition
    if now is not before:
        mark(work, [stored.id], condition=now.value)
    return changes_between({"condition": before.value}, {"condition": now.value})
