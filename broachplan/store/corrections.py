"""The books corrected after a count: rows changed, and the entries for the caller to record."""

from __future__ import annotations

from datetime import date

from broachplan.crib.counts import CountLine, Mismatch
from broachplan.crib.entries import MISSING_SINCE, Act, Change, Stamp
from broachplan.crib.records import Condition
from broachplan.store.entries import ActLine
from broachplan.store.loans import take_back
from broachplan.store.pieces import mark
from broachplan.store.stored_pieces import StoredPiece
from broachplan.store.transaction import Work


def corrected(
    work: Work, stored: StoredPiece, line: CountLine, home: str, stamp: Stamp, counted: date, note: str
) -> ActLine:
    """Correct the books by one line of a count: missing, found again, back from its loan, and with ``home`` moved.

    Parameters
    ----------
    home : its new home; "" where it keeps the one it has.
    counted : the day of the count.
    note : what the history says of it.
    """
    if line.mismatch is Mismatch.BACK:
        returned = take_back(work, stored, Condition.UNINSPECTED, stamp, note)
        act, changes = returned.act, returned.changes
    elif line.mismatch is Mismatch.ABSENT:
        act, changes = Act.COUNTED, (Change(MISSING_SINCE, None, counted.isoformat()),)
        mark(work, [stored.id], missing_since=counted.isoformat())
    elif line.mismatch is Mismatch.FOUND:
        act, changes = Act.COUNTED, turned_up(work, stored)
    else:
        act, changes = Act.COUNTED, ()
    if home and home != stored.home:
        mark(work, [stored.id], home=home)
        changes = (*changes, Change("home", stored.home, home))
    return ActLine(stored.id, act, changes, note)


def turned_up(work: Work, stored: StoredPiece) -> tuple[Change, ...]:
    """A missing piece is missing no more."""
    since = stored.status.missing_since
    assert since is not None
    mark(work, [stored.id], missing_since=None)
    return (Change(MISSING_SINCE, since.isoformat(), None),)
