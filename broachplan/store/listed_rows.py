"""A list in a CSV file or a workbook whose columns have names: its rows as texts, and what is wrong with the list itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from broachplan.crib.words import LONGEST_WORDS, hidden
from broachplan.errors import InputError, quoted
from broachplan.store.cell_guard import unguarded
from broachplan.store.csv_file import MOST_COLUMNS, FileRow, load
from broachplan.store.csv_form import Source
from broachplan.store.xlsx_file import is_book, load_book

# No cell may be as long; it is refused without a look at the rest.
_LOOKED_AT = LONGEST_WORDS + 1
# Of the cells of a header that name no column so many are shown.
_SHOWN = 3


@dataclass(frozen=True, slots=True)
class ListForm:
    """What a list holds, in the plural, which its sheet may be named by; the columns it may have, and those it must."""

    holds: str
    columns: Sequence[str]
    needed: Sequence[str]


@dataclass(frozen=True, slots=True)
class ListedRow:
    """One row of a list: ``where`` it is, and the texts of the columns that the list has."""

    where: str
    texts: Mapping[str, str]

    def wrong(self, column: str, said: str) -> str:
        """A line about one cell of the row, or about the row where no column is named."""
        return f"{self.where}{f', column {column}' if column else ''}: {said}"


def rows_of(path: Path, name: str, form: ListForm, problems: list[str]) -> Iterator[ListedRow]:
    """The rows of one list; what is wrong with its header or a row is added to ``problems``.

    Raises
    ------
    InputError : it cannot be read, is empty, or several sheets could be the list.
    """
    source = _sheet(path, name, form) if is_book(path) else load(path, name)
    lines = source.rows()
    header = next(lines, None)
    if header is None:
        raise InputError(source.name, "it is empty; the first row must name the columns")
    columns = [cell.lower() for cell in header.cells]
    if wrong := _wrong_header(source.name, header, columns, form):
        problems += wrong
        return
    for row in lines:
        where = f"{source.name}, row {row.number}"
        if wrong := _wrong_row(where, row, columns):
            problems += wrong
            continue
        yield ListedRow(
            where, {column: unguarded(cell) for column, cell in zip(columns, row.cells, strict=True)}
        )


def _sheet(path: Path, name: str, form: ListForm) -> Source:
    """The one sheet of a workbook that has anything in it, else the one that is named by what the list holds."""
    sheets = load_book(path, name)
    found = sheets if len(sheets) == 1 else [sheet for sheet in sheets if sheet.title == form.holds]
    if len(found) != 1:
        raise InputError(
            name, f"it has {len(sheets)} sheets; name the one with the {form.holds} {form.holds}"
        )
    return found[0]


def _wrong_header(name: str, header: FileRow, columns: Sequence[str], form: ListForm) -> list[str]:
    where = f"{name}, row {header.number}"
    if header.problem or header.wrong:
        return [f"{where}: {problem}" for problem in (header.problem, *header.wrong.values()) if problem]
    if len(columns) == 1 and any(mark in columns[0] for mark in ";\t"):
        return [f"{where}: the columns must be separated by commas"]
    if len(columns) > MOST_COLUMNS:
        return [f"{where}: it has {len(columns):,} cells; {form.holds} have {len(form.columns)}"]
    wrong = [f"{where}: column {each} is missing" for each in form.needed if each not in columns]
    places = [place for place, column in enumerate(columns) if column not in form.columns]
    if places:
        wrong.append(f"{where}: {_unknown([header.cells[place] for place in places], form)}")
    twice = (column for place, column in enumerate(columns) if column in columns[:place])
    return [*wrong, *(f"{where}: column {each} is there twice" for each in twice if each in form.columns)]


def _unknown(cells: Sequence[str], form: ListForm) -> str:
    """A line about the cells of a header that name no column."""
    shown = [quoted(cell) if cell else "an empty cell" for cell in cells[:_SHOWN]]
    more = f" and {len(cells) - _SHOWN} more" if len(cells) > _SHOWN else ""
    which = "which is no column" if len(cells) == 1 else "which are no columns"
    return f"read {', '.join(shown)}{more}, {which} of {form.holds}; there are: {', '.join(form.columns)}"


def _wrong_row(where: str, row: FileRow, columns: Sequence[str]) -> list[str]:
    if row.problem:
        return [f"{where}: {row.problem}"]
    if len(row.cells) != len(columns):
        return [f"{where}: it has {len(row.cells)} cells; the header has {len(columns)}"]
    wrong = [f"{where}, column {columns[place]}: {problem}" for place, problem in row.wrong.items()]
    for column, cell in zip(columns, row.cells, strict=True):
        if said := hidden(cell[:_LOOKED_AT]):
            wrong.append(f"{where}, column {column}: {said}")
    return wrong
