"""The books corrected after a count: rows changed, and the entries that tell it, for the caller to record."""

from __future__ import annotations

from datetime import date

from broachplan.crib.counts import CountLine, Mismatch
from broachplan.crib.entries import MISSING_SINCE, Act, Change, Stamp
from broachplan.store.entries import Line
from broachplan.store.loans import take_back
from broachplan.store.pieces import mark
from broachplan.store.standings import Stood
from broachplan.store.transaction import Work


def corrected(
    work: Work, stood: Stood, line: CountLine, home: str, stamp: Stamp, counted: date, note: str
) -> Line:
    """Correct the books by one line of a count: missing, found again, back from its loan, and with ``home`` moved.

    Parameters
    ----------
    home : its new home; "" where it keeps the one it has.
    counted : the day of the count.
    note : what the history tells of it.
    """
    if line.mismatch is Mismatch.BACK:
        told = take_back(work, stood, None, stamp, note)
        act, changes = told.act, told.changes
    elif line.mismatch is Mismatch.ABSENT:
        act, changes = Act.COUNTED, (Change(MISSING_SINCE, None, counted.isoformat()),)
        mark(work, [stood.id], missing_since=counted.isoformat())
    elif line.mismatch is Mismatch.FOUND:
        act, changes = Act.COUNTED, turned_up(work, stood)
    else:
        act, changes = Act.COUNTED, ()
    if home and home != stood.home:
        mark(work, [stood.id], home=home)
        changes = (*changes, Change("home", stood.home, home))
    return Line(stood.id, act, changes, note)


def turned_up(work: Work, stood: Stood) -> tuple[Change, ...]:
    """A missing piece is missing no more."""
    since = stood.standing.missing_since
    assert since is not None
    mark(work, [stood.id], missing_since=None)
    return (Change(MISSING_SINCE, since.isoformat(), None),)
