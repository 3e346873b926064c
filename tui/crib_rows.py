"""Pieces of the crib as rows of a list, the text a filter looks in, and the figures of one piece."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from broachplan.crib.find import Findable, Finder, read_sought, unfinished
from broachplan.crib.status_words import state_words
from broachplan.lengths import Units
from broachplan.settings import Settings
from broachplan.sheets.result import Column, ResultSheet, Sentence, SheetBlock
from broachplan.sheets.table import Row, View, columns_of, rows_of
from broachplan.views.piece import record_blocks, value_words
from broachplan.views.pieces import FIELDS

if TYPE_CHECKING:
    from broachplan.crib.records import Record
    from broachplan.desks.attendant.list_known import Known

# The last, without a heading, takes room only where a size was looked for.
COLUMNS = (*columns_of(FIELDS), Column("", least=10))
_SERVES = ("fits", "cuts")


@dataclass(frozen=True, slots=True)
class ListedPiece:
    """A piece in the crib and its state in words: ``fit``, ``worn``, ``lent to Kim since 2031-05-02``.

    ``out`` is whether somebody has it, ``late`` whether it should be back.
    """

    record: Record
    state: str
    out: bool = False
    late: bool = False


@dataclass(frozen=True, slots=True)
class CribLine:
    """One piece: its row, prepared for a search; ``why`` says which of its figures a size found."""

    listed: ListedPiece
    row: Row
    findable: Findable
    why: tuple[str, ...] = ()


def with_states(records: Iterable[Record], known: Known) -> list[ListedPiece]:
    """Pieces with their states; one that somebody retired between the two looks is not there any more."""
    listed = []
    for record in records:
        if status := known.pieces.get(record.piece.tag):
            loan = status.loan
            late = loan is not None and loan.overdue(known.on)
            listed.append(ListedPiece(record, state_words(status, known.on), loan is not None, late))
    return listed


def lines(pieces: Iterable[ListedPiece], units: Units) -> list[CribLine]:
    """A line a piece, in the order given."""
    return [_line(listed, units) for listed in pieces]


def matching(all_lines: Sequence[CribLine], typed: str, settings: Settings) -> Sequence[CribLine]:
    """The lines of pieces that meet every word and size typed; what fits a bore or cuts a width comes first.

    Raises
    ------
    InputError : what is typed is too long.
    """
    sought = read_sought(unfinished(typed)[0])
    if not (sought.words or sought.sizes):
        return all_lines
    among = Finder(sought, settings).among
    if not sought.sizes:
        return [line for line in all_lines if among(line.findable) is not None]
    found = [
        replace(line, why=why, row=(*line.row[:-1], _briefly(why[0]))) if why else line
        for line in all_lines
        if (why := among(line.findable)) is not None
    ]
    return sorted(found, key=lambda line: not any(why.startswith(_SERVES) for why in line.why))


def _briefly(why: str) -> str:
    """``fits`` or ``cuts`` where a piece serves the size, else the figure that is about so large."""
    return next((word for word in _SERVES if why.startswith(word)), why)


def asked_for(typed: str) -> str:
    """What is needed of a size; empty where nothing is."""
    begun = unfinished(typed)[1]
    return f"{begun} ...: a size and its unit, as 30 mm or 1-1/4 in" if begun else ""


def with_tag(all_lines: Iterable[CribLine], typed: str) -> str | None:
    """The tag that was typed or scanned whole, in letters of either case where that leaves no doubt; None where none was."""
    folded = typed.casefold()
    found = [line.row[0] for line in all_lines if folded and line.row[0].casefold() == folded]
    return typed if typed in found else found[0] if len(found) == 1 else None


def summary(line: CribLine, units: Units) -> str:
    """One piece in a few lines, where there is no room for its figures one below the other."""
    listed, record, piece = line.listed, line.listed.record, line.listed.record.piece
    figures = (
        f"{figure.label} {value_words(value, units)}"
        for figure in piece.figures()
        if (value := getattr(piece, figure.name)) is not None
    )
    where = [f"home {record.home}"] if record.home else []
    where += [f"set {record.set_name}"] if record.set_name else []
    words = f"{piece.tag}: {'; '.join((*line.why, listed.state))}"
    return "; ".join((words, *where, ", ".join(figures) or "nothing measured"))


def figures_sheet(listed: ListedPiece, units: Units) -> ResultSheet:
    """Everything known of one piece but its history."""
    piece = listed.record.piece
    title = SheetBlock(piece.tag, (Sentence(f"{piece.kind.value}, {listed.state}"),))
    return ResultSheet("", "", (title, *record_blocks(listed.record, units)))


def _line(listed: ListedPiece, units: Units) -> CribLine:
    (row,) = rows_of(FIELDS, [listed], View(units=units))
    return CribLine(listed, (*row, ""), Findable.of(listed.record, listed.state, row[2]))
