"""What the attendant's rarer screens ask for: counts, holds, wear, boxes, past days; the desk's own where none is handed in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date
    from pathlib import Path

    from broachplan.crib.homes import Placed
    from broachplan.crib.stock import Stock
    from broachplan.desks.attendant.hold_piece import Hold
    from broachplan.desks.attendant.list_counts import CountList, ShownCount
    from broachplan.desks.attendant.list_due import WearList
    from broachplan.desks.attendant.print_labels import Printed
    from broachplan.tooling.figures import Kind

Db = str | None


@dataclass(frozen=True, slots=True)
class Labelling:
    """The pieces that labels are for, the sheet by its grid's name and from which label on, and the PDF to write.

    With ``outlines`` those of the sheet are wanted, to try a printer with, and no labels.
    """

    file: Path
    grid: str
    tags: tuple[str, ...] = ()
    set_name: str = ""
    kind: Kind | None = None
    home: str = ""
    text: str = ""
    start: int = 1
    outlines: bool = False
    overwrite: bool = False


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


def _labels(db: Db, asked: Labelling, progress: Callable[[int, int], None]) -> Printed:
    from broachplan.desks.attendant.print_labels import Wanted, grid_named, print_labels

    wanted = Wanted(
        tags=asked.tags, kind=asked.kind, text=asked.text, set_name=asked.set_name, home=asked.home
    )
    return print_labels(
        db,
        asked.file,
        wanted,
        grid_named(asked.grid),
        start=asked.start,
        overwrite=asked.overwrite,
        progress=progress,
    )


def _outlines(db: Db, asked: Labelling) -> None:
    from broachplan.desks.attendant.print_labels import grid_named, print_outline

    print_outline(db, asked.file, grid_named(asked.grid), overwrite=asked.overwrite)


@dataclass(frozen=True, slots=True)
class Keeper:
    """The functions behind these screens; the first argument of each is the crib's database."""

    counts: Callable[[Db], CountList] = _counts
    one_count: Callable[[Db, int], ShownCount] = _one_count
    missing: Callable[[Db], tuple[Placed, ...]] = _missing
    holds: Callable[[Db], tuple[Hold, ...]] = _holds
    due: Callable[[Db], WearList] = _due
    stock: Callable[[Db, date], Stock] = _stock
    labels: Callable[[Db, Labelling, Callable[[int, int], None]], Printed] = _labels
    outlines: Callable[[Db, Labelling], None] = _outlines
