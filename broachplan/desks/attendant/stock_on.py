"""What was in the crib at the end of any day."""

from __future__ import annotations

from datetime import date, datetime, tzinfo

from broachplan.crib.homes import Placed
from broachplan.crib.stock import Stock
from broachplan.desks.attendant.clock import day, day_of
from broachplan.errors import InputError
from broachplan.store.stock import stock_at
from broachplan.store.work import reading
from broachplan.tooling.figures import Kind

__all__ = ["Placed", "Stock", "stock_on"]


def stock_on(
    db: str | None,
    on: date | None = None,
    *,
    kind: Kind | None = None,
    text: str = "",
    at: datetime | None = None,
    zone: tzinfo | None = None,
) -> Stock:
    """What pieces there were at the end of a day, where they lived, in what condition, and who had them.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    on : the day; None is today, up to now.
    kind : only pieces of this kind.
    text : only pieces that had this text then, in any case, in tag, set, home or note.
    at : when it is asked; None is now.
    zone : decides when a day ends; None is that of this machine.

    Raises
    ------
    InputError : the day is to come.
    StorageError : the database cannot be used, or a history does not lead to what it holds.
    """
    today = day(None) if at is None else day_of(at, zone)
    on = on or today
    if on > today:
        raise InputError("on", f"write a day up to today, {today}", shown=on, fault=", a day in the future")
    with reading(db) as work:
        return stock_at(
            work, [kind] if kind else list(Kind), text.strip(), on, lambda moment: day_of(moment, zone)
        )
