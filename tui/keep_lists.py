"""Holds, wear and the stock of a past day as rows of a list; wear and holds of one piece as a text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text

from broachplan.lengths import Length, Units, show
from tui.keep_words import days_words
from tui.piece_text import hung
from tui.status_words import loan_words
from tui.widgets.ledger import Column, Row

if TYPE_CHECKING:
    from datetime import date

    from broachplan.crib.homes import Placed
    from broachplan.crib.stock import Stock
    from broachplan.desks.attendant.hold_piece import Hold
    from broachplan.desks.attendant.list_due import Worn
    from broachplan.desks.attendant.show_piece import Shown

HOLD_COLUMNS = (
    Column(""),
    Column("days"),
    Column("tag", least=10, tags=True),
    Column("kind", drops=1),
    Column("for", least=16),
)
WEAR_COLUMNS = (
    Column(""),
    Column("broach", least=10, tags=True),
    Column("cuts", right=True),
    Column("cut in all", right=True),
    Column("cuts since", right=True),
    Column("inspected"),
    Column("reground", drops=1),
)
STOCK_COLUMNS = (
    Column("tag", least=10, tags=True),
    Column("kind"),
    Column("state", least=20),
    Column("home", least=8),
    Column("set", least=6, drops=1),
)


def hold_row(hold: Hold, on: date) -> Row:
    """One hold; that it is for today stands in words."""
    now = "today" if hold.first <= on <= hold.last else ""
    return (now, days_words(hold.first, hold.last), hold.tag, hold.kind.value, hold.for_what)


def wear_row(worn: Worn, units: Units) -> Row:
    """One broach: whether it is due, what it has cut, since when that counts."""
    wear = worn.wear
    return (
        "DUE" if worn.due else "",
        worn.tag,
        str(wear.cuts),
        _cut(wear.cut_length, units),
        str(wear.since_inspection[0]),
        str(wear.inspected_on or "never"),
        str(wear.ground_on or "never"),
    )


def why_words(worn: Worn, units: Units) -> str:
    """What a broach is due for and why, or what it has cut."""
    return f"{worn.tag}: {'; '.join(worn.due) or worn.wear.words(units)}"


def stock_row(piece: Placed, on: date) -> Row:
    """One piece as it was at the end of a day."""
    status = piece.status
    if status.retired:
        return (piece.tag, status.kind.value, "retired", piece.home, piece.set_name)
    parts = [f"missing since {status.missing_since}"] if status.missing_since else []
    parts += [loan_words(status.loan, on)] if status.loan else []
    parts += [status.condition.value] if status.condition.value != "fit" or not parts else []
    return (piece.tag, status.kind.value, "; ".join(parts), piece.home, piece.set_name)


def stock_words(told: Stock) -> str:
    """How many pieces there were, and how many of them were out, missing or retired."""
    there = told.there
    out = sum(piece.status.loan is not None for piece in there)
    missing = sum(piece.status.missing_since is not None for piece in there)
    return f"{len(there)} pieces, {out} out, {missing} missing, {len(told.retired)} retired"


def older_words(told: Stock) -> str:
    """What the history cannot tell."""
    if not told.older:
        return ""
    begins = f"begins on {told.begins}" if told.begins else "has not begun"
    return f"The history {begins}; older pieces are shown as having been there always."


def wear_and_holds_text(shown: Shown, units: Units, width: int) -> Text:
    """What a piece is due for, what it has cut and what it is held for; nothing where there is nothing to tell."""
    text = Text()
    for reason in shown.due:
        text.append(hung(reason, width, "! "), "bold")
    if shown.wear.cuts or shown.wear.inspected_on:
        text.append(hung(f"cut       {shown.wear.words(units)}", width))
    for hold in shown.holds:
        text.append(hung(f"held      {days_words(hold.first, hold.last)} for {hold.for_what}", width))
    return text.append("\n") if text else text


def check_words(heights: dict[str, tuple[Length, Length]], lowered: Length | None, units: Units) -> str:
    """How far the teeth came down as measured, before and after of each, and how far by geometry.

    ``lowered`` is None where what was ground off and the relief are not told.
    """
    parts = [
        f"{name} tooth {show(before - after, units)}"
        for name, (before, after) in heights.items()
        if before >= after
    ]
    measured = f"came down, as measured: {', '.join(parts)}" if parts else ""
    geometry = f"by geometry: {show(lowered, units)} each, a check only" if lowered else ""
    return "; ".join(filter(None, (measured, geometry)))


def _cut(length: Length, units: Units) -> str:
    return show(length, units) if length else "nothing"
