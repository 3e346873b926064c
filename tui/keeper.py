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
    from broachplan.desks.attendant.book_cuts import Booked
    from broachplan.desks.attendant.change_set import Moved
    from broachplan.desks.attendant.count_drawer import Counted
    from broachplan.desks.attendant.found_piece import FoundPiece
    from broachplan.desks.attendant.hold_piece import Held, Hold
    from broachplan.desks.attendant.inspect_piece import Inspected
    from broachplan.desks.attendant.list_counts import CountList, ShownCount
    from broachplan.desks.attendant.list_due import WearList
    from broachplan.desks.attendant.print_labels import Printed
    from broachplan.desks.attendant.regrind_piece import Reground
    from broachplan.desks.attendant.settle_count import Settled
    from broachplan.tooling.figures import Kind

Db = str | None


@dataclass(frozen=True, slots=True)
class Holding:
    """What is to be held or let go: a tag or the name of a set, for what, on which days."""

    what: str
    is_set: bool
    first: str
    last: str = ""
    for_what: str = ""
    by: str = ""


@dataclass(frozen=True, slots=True)
class Finding:
    """What was found of a piece in hand: its condition where it was inspected, and a note."""

    tag: str
    condition: str = ""
    note: str = ""
    by: str = ""


@dataclass(frozen=True, slots=True)
class Boxing:
    """What goes from one box to another: a tag or the name of a set; the boxes are empty where there is none."""

    what: str
    is_set: bool
    out_of: str = ""
    into: str = ""
    by: str = ""


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


def _found(db: Db, asked: Finding) -> FoundPiece:
    from broachplan.desks.attendant.found_piece import note_found
    from broachplan.questions.acts import FoundRequest

    return note_found(db, FoundRequest(tag=asked.tag, note=asked.note, by=asked.by))


def _holds(db: Db) -> tuple[Hold, ...]:
    from broachplan.desks.attendant.hold_piece import list_holds

    return list_holds(db)


def _hold(db: Db, asked: Holding) -> Held:
    from broachplan.desks.attendant.hold_piece import hold
    from broachplan.questions.acts import HoldRequest

    tag, name = ("", asked.what) if asked.is_set else (asked.what, "")
    return hold(
        db,
        HoldRequest(
            tag=tag, set_name=name, for_what=asked.for_what, first=asked.first, last=asked.last, by=asked.by
        ),
    )


def _release(db: Db, asked: Holding) -> Held:
    from broachplan.desks.attendant.hold_piece import release
    from broachplan.questions.acts import ReleaseRequest

    tag, name = ("", asked.what) if asked.is_set else (asked.what, "")
    return release(
        db, ReleaseRequest(tag=tag, set_name=name, first=asked.first, last=asked.last, by=asked.by)
    )


def _due(db: Db) -> WearList:
    from broachplan.desks.attendant.list_due import list_due

    return list_due(db)


def _inspect(db: Db, asked: Finding) -> Inspected:
    from broachplan.desks.attendant.inspect_piece import inspect
    from broachplan.questions.acts import InspectRequest

    return inspect(db, InspectRequest(tag=asked.tag, condition=asked.condition, note=asked.note, by=asked.by))


def _book(db: Db, asked: Finding, cuts: Mapping[str, str]) -> Booked:
    from broachplan.desks.attendant.book_cuts import book
    from broachplan.questions.acts import BookRequest

    return book(db, BookRequest(tag=asked.tag, note=asked.note, by=asked.by, **cuts))


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


def _join(db: Db, asked: Boxing) -> Moved:
    from broachplan.desks.attendant.change_set import join
    from broachplan.questions.acts import JoinRequest

    tags, name = ((), asked.what) if asked.is_set else ((asked.what,), "")
    return join(db, JoinRequest(into=asked.into, tags=tags, set_name=name, by=asked.by))


def _split(db: Db, asked: Boxing) -> Moved:
    from broachplan.desks.attendant.change_set import split
    from broachplan.questions.acts import SplitRequest

    name, tags = (asked.what, ()) if asked.is_set else (asked.out_of, (asked.what,))
    return split(db, SplitRequest(out_of=name, tags=tags, into=asked.into, by=asked.by))


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
    found: Callable[[Db, Finding], FoundPiece] = _found
    holds: Callable[[Db], tuple[Hold, ...]] = _holds
    hold: Callable[[Db, Holding], Held] = _hold
    release: Callable[[Db, Holding], Held] = _release
    due: Callable[[Db], WearList] = _due
    inspect: Callable[[Db, Finding], Inspected] = _inspect
    book: Callable[[Db, Finding, Mapping[str, str]], Booked] = _book
    regrind: Callable[[Db, Grinding], Reground] = _regrind
    join: Callable[[Db, Boxing], Moved] = _join
    split: Callable[[Db, Boxing], Moved] = _split
    stock: Callable[[Db, date], Stock] = _stock
    labels: Callable[[Db, Labelling, Callable[[int, int], None]], Printed] = _labels
    outlines: Callable[[Db, Labelling], None] = _outlines
