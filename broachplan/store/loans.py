"""Loans opened and closed. That a piece has one open loan at most is held by the database's unique index."""

from __future__ import annotations

from sqlalchemy import insert, update
from sqlalchemy.exc import IntegrityError

from broachplan.crib.entries import Act, Stamp, changes_between
from broachplan.crib.loans import Loan, already_out
from broachplan.crib.records import Condition
from broachplan.crib.wear import Booking
from broachplan.errors import CribStateError
from broachplan.store.entries import ActLine
from broachplan.store.stored_pieces import StoredPiece, stored_pieces
from broachplan.store.tables import LOAN, PIECE
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
    }
    try:
        with work.connection.begin_nested():
            work.connection.execute(insert(LOAN).values(row))
    except IntegrityError as error:
        (now,) = stored_pieces(work, [stored.status.tag])
        if now.status.loan is None:
            raise
        raise CribStateError(already_out(stored.status.tag, now.status.loan)) from error
    return ActLine(stored.id, Act.LENT, changes_between({}, loan.values), note)


def take_back(
    work: Work,
    stored: StoredPiece,
    condition: Condition | None,
    stamp: Stamp,
    note: str,
    booking: Booking | None = None,
) -> ActLine:
    """Close a piece's open loan, note what its inspection found and what it cut; the entry of it.

    ``condition`` is None where nobody inspected it: it stays as it was.

    Raises
    ------
    CribStateError : it is not out any more.
    """
    loan = stored.status.loan
    assert loan is not None
    open_loan = (LOAN.c.piece_id == stored.id) & LOAN.c.returned.is_(None)
    # A clock that was set back must not keep a piece from coming back.
    returned = max(stamp.day, loan.since)
    closed = work.connection.execute(update(LOAN).where(open_loan).values(returned=returned.isoformat()))
    if not closed.rowcount:
        raise CribStateError(f"{stored.status.tag} is not out")
    now = condition or stored.status.condition
    before = {**loan.values, "condition": stored.status.condition.value}
    after = {**dict.fromkeys(loan.values), "condition": now.value}
    if now is not stored.status.condition:
        changed = {"condition": now.value, "version": PIECE.c.version + 1}
        work.connection.execute(update(PIECE).where(PIECE.c.id == stored.id).values(changed))
    worn = wear_of(work, [stored.id])[stored.id]
    cut = worn.booked(booking) if booking else worn
    if condition is not None:
        cut = cut.inspected(stamp.day)
    changes = changes_between(before, after) + change_wear(work, stored.id, worn, cut)
    return ActLine(stored.id, Act.RETURNED, changes, note)
