"""What was in the crib at the end of any day."""

from __future__ import annotations

from datetime import datetime, tzinfo

from broachplan.crib.homes import Placed
from broachplan.crib.stock import Stock
from broachplan.crib.words import read_day
from broachplan.desks.attendant.clock import day, day_of
from broachplan.errors import InputError
from broachplan.questions.reads import StockRequest
from broachplan.store.stock import stock_at
from broachplan.store.work import reading
from broachplan.tooling.figures import Kind, read_kind

__all__ = ["Placed", "Stock", "stock_on"]


def stock_on(
    db: str | None, request: StockRequest, *, at: datetime | None = None, zone: tzinfo | None = None
) -> Stock:
    """What pieces there were at the end of a day, where they lived, in what condition, and who had them.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when it is asked; None is now.
    zone : decides when a day ends; None is that of this machine.

    Raises
    ------
    InputError : no such kind, no day, or one in the future.
    StorageError : the database cannot be used, or a history does not lead to what it holds.
    """
    today = day(None) if at is None else day_of(at, zone)
    on = read_day(request.on, "on") or today
    if on > today:
        raise InputError("on", f"write a day up to today, {today}", shown=on, fault=", a day in the future")
    kinds = [read_kind(request.kind)] if request.kind else list(Kind)
    with reading(db) as work:
        return stock_at(work, kinds, request.text.strip(), on, lambda moment: day_of(moment, zone))
