"""One piece as a sheet: what it is due for, its figures, how they were measured, where it lives, what was done to it."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from broachplan.crib.records import Measurement, Record
from broachplan.crib.status_words import days_words, state_words
from broachplan.lengths import Units, show
from broachplan.sheets.result import NamedValue, ResultSheet, Sentence, SheetBlock
from broachplan.sheets.table import View
from broachplan.tooling.measures import Value, show_figure
from broachplan.views.history import history_block

if TYPE_CHECKING:
    from collections.abc import Iterator

    from broachplan.desks.attendant.show_piece import Shown
    from broachplan.tooling.pieces import Piece


def piece_sheet(shown: Shown, view: View, *, history: bool = True) -> ResultSheet:
    """Everything that is known of one piece."""
    record = shown.record
    state = state_words(shown.status, view.on) if shown.status else shown.state
    title = f"{record.piece.tag}, a {record.piece.kind}: {state}"
    blocks = (SheetBlock("", tuple(_since(shown, view.units))), *record_blocks(record, view.units))
    history_blocks = (history_block(shown.history),) if history and shown.history else ()
    return ResultSheet(title, state, (*(block for block in blocks if block.lines), *history_blocks))


def record_blocks(record: Record, units: Units) -> tuple[SheetBlock, ...]:
    """Every figure, then what is known beside the figures."""
    piece = record.piece
    figures = [
        NamedValue(figure.label, value_words(getattr(piece, figure.name), units))
        for figure in piece.figures()
    ]
    needed = f"No plan uses it until these are measured: {', '.join(piece.missing)}."
    beside = (
        ("measured", measured_words(record.measured, units)),
        ("condition", record.condition.words),
        ("home", record.home or "not known"),
        ("set", record.set_name or "none"),
        ("made", "in house" if record.made_here else ""),
        ("note", record.note),
    )
    return (
        SheetBlock("", (*figures, *((Sentence(needed),) if piece.missing else ()))),
        SheetBlock("", tuple(NamedValue(label, words) for label, words in beside if words)),
    )


@lru_cache(maxsize=4096)
def value_words(value: Value | None, units: Units) -> str:
    """One figure with its unit; a figure nobody measured says so. The figures of a crib repeat."""
    return show_figure(value, units) or "not measured"


def size_words(piece: Piece, units: Units) -> str:
    """The figures that distinguish pieces of a kind, in one cell of a list."""
    parts = [
        f"{value_words(value, units)} {figure.in_list}".rstrip()
        for figure in piece.figures()
        if figure.in_list is not None and (value := getattr(piece, figure.name)) is not None
    ]
    return ", ".join(parts) or "not measured"


def measured_words(measured: Measurement, units: Units) -> str:
    """With what, when and by whom, and how well."""
    by = f"by {measured.by}" if measured.by else ""
    to = f"to ±{show(measured.to, units)}" if measured.to else ""
    parts = (measured.with_what, str(measured.on or ""), by, to)
    return ", ".join(part for part in parts if part) or "not known how"


def _since(shown: Shown, units: Units) -> Iterator[NamedValue | Sentence]:
    """What it has cut, what it is held for, what it is due for."""
    if shown.wear.cuts or shown.wear.inspected_on:
        yield NamedValue("cut", shown.wear.words(units))
    for hold in shown.holds:
        yield NamedValue("held", f"{days_words(hold.first, hold.last)} for {hold.for_what}")
    for name in shown.undone:
        yield Sentence(f"Its tag was that of {name} before, whose addition was undone.")
    for reason in shown.due:
        yield Sentence(reason, "! ")
