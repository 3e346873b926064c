"""What the attendant's rarer screens ask for: counts, holds, wear, boxes, past days; the desk's own where none is handed in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date

    from broachplan.crib.homes import Placed
    from broachplan.crib.stock import Stock
    from broachplan.desks.attendant.hold_piece import Hold
    from broachplan.desks.attendant.list_counts import CountList, ShownCount
    from broachplan.desks.attendant.list_due import WearList

Db = str | None


def _counts(db: Db) -> CountList:
    from broachplan.desks.attendant.list_counts import list_counts

    return list_counts(db)


def _one_count(db: Db, number: int) -> ShownCount:
    from broachplan.desks.attendant.list_counts import show_count

    return show_count(db, number)


def _missing(db: Db) -> tuple[Placed, ...]:
    from broachplan.desks.attendant.list_missing import list_missing

    return list_missing(db)


def _holds(db: Db) -> tuple[Hold, ...]:
    from broachplan.desks.attendant.hold_piece import list_holds

    return list_holds(db)


def _due(db: Db) -> WearList:
    from broachplan.desks.attendant.list_due import list_due

    return list_due(db)


def _stock(db: Db, on: date) -> Stock:
    from broachplan.desks.attendant.stock_on import stock_on

    return stock_on(db, on)


@dataclass(frozen=True, slots=True)
class Keeper:
    """The functions behind these screens; the first argument of each is the crib's database."""

    counts: Callable[[Db], CountList] = _counts
    one_count: Callable[[Db, int], ShownCount] = _one_count
    missing: Callable[[Db], tuple[Placed, ...]] = _missing
    holds: Callable[[Db], tuple[Hold, ...]] = _holds
    due: Callable[[Db], WearList] = _due
    stock: Callable[[Db, date], Stock] = _stock
