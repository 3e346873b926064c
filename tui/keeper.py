"""What the attendant's rarer screens ask for: counts, holds, wear, boxes, past days; the desk's own where none is handed in."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date
    from pathlib import Path

    from broachplan.crib.drafts import Draft
    from broachplan.crib.homes import Placed
    from broachplan.crib.stock import Stock
    from broachplan.desks.attendant.count_drawer import Counted
    from broachplan.desks.attendant.hold_piece import Hold
    from broachplan.desks.attendant.list_counts import CountList, ShownCount
    from broachplan.desks.attendant.list_due import WearList
    from broachplan.desks.attendant.print_labels import Printed
    from broachplan.desks.attendant.regrind_piece import Reground
    from broachplan.desks.attendant.settle_count import Settled
    from broachplan.tooling.figures import Kind

Db = str | None


@dataclass(frozen=True, slots=True)
class Grinding:
    """A regrind: what was measured after it, as typed, and what the check wants to know."""

    tag: str
    told: Mapping[str, str]
    ground_off: str = ""
    relief: str = ""
    note: str = ""
    by: str = ""


@dataclass(frozen=True, slots=True)
class Settling:
    """A count with a cause for each difference, and the places of what stays where it was found."""

    number: int
    causes: Mapping[str, str]
    stays: Mapping[str, str]
    by: str = ""


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


def _drawer(db: Db, typed: str) -> str:
    from broachplan.desks.attendant.count_drawer import drawer_to_count

    return drawer_to_count(db, typed)


def _count(db: Db, drawer: str, tags: Sequence[str], by: str) -> Counted:
    from broachplan.desks.attendant.count_drawer import count_drawer

    return count_drawer(db, drawer, tags, by=by)


def _keep_draft(db: Db, draft: Draft) -> None:
    from broachplan.desks.attendant.keep_draft import keep_draft

    keep_draft(db, draft)


def _drafts(db: Db) -> tuple[Draft, ...]:
    from broachplan.desks.attendant.keep_draft import kept_drafts

    return kept_drafts(db)


def _counts(db: Db) -> CountList:
    from broachplan.desks.attendant.list_counts import list_counts

    return list_counts(db)


def _one_count(db: Db, number: int) -> ShownCount:
    from broachplan.desks.attendant.list_counts import show_count

    return show_count(db, number)


def _settle(db: Db, asked: Settling) -> Settled:
    from broachplan.desks.attendant.settle_count import settle_count

    return settle_count(db, asked.number, asked.causes, moves=asked.stays, by=asked.by)


def _missing(db: Db) -> tuple[Placed, ...]:
    from broachplan.desks.attendant.list_missing import list_missing

    return list_missing(db)


def _holds(db: Db) -> tuple[Hold, ...]:
    from broachplan.desks.attendant.hold_piece import list_holds

    return list_holds(db)


def _due(db: Db) -> WearList:
    from broachplan.desks.attendant.list_due import list_due

    return list_due(db)


def _regrind(db: Db, asked: Grinding) -> Reground:
    from broachplan.desks.attendant.regrind_piece import regrind_piece

    return regrind_piece(
        db,
        asked.tag,
        asked.told,
        ground_off=asked.ground_off,
        relief=asked.relief,
        note=asked.note,
        by=asked.by,
    )


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

    drawer: Callable[[Db, str], str] = _drawer
    count: Callable[[Db, str, Sequence[str], str], Counted] = _count
    drafts: Callable[[Db], tuple[Draft, ...]] = _drafts
    keep_draft: Callable[[Db, Draft], None] = _keep_draft
    counts: Callable[[Db], CountList] = _counts
    one_count: Callable[[Db, int], ShownCount] = _one_count
    settle: Callable[[Db, Settling], Settled] = _settle
    missing: Callable[[Db], tuple[Placed, ...]] = _missing
    holds: Callable[[Db], tuple[Hold, ...]] = _holds
    due: Callable[[Db], WearList] = _due
    regrind: Callable[[Db, Grinding], Reground] = _regrind
    stock: Callable[[Db, date], Stock] = _stock
    labels: Callable[[Db, Labelling, Callable[[int, int], None]], Printed] = _labels
    outlines: Callable[[Db, Labelling], None] = _outlines
