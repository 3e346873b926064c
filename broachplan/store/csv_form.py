"""The CSV form of each kind of piece: its columns, and one file's rows turned into records or into problems.

The columns of the figures come from the table of figures, so form, list and database stay in step.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from broachplan.crib.records import Condition, Measured, Record
from broachplan.crib.words import checked_day, hidden
from broachplan.errors import InputError, quoted
from broachplan.lengths import parse_length
from broachplan.quantities import parse_area, parse_force
from broachplan.store.csv_file import LONGEST_CELL, Row, Text, rows, unguarded
from broachplan.store.translate import Value, figure_columns
from broachplan.tooling.figures import FIGURES, Kind, Quantity
from broachplan.tooling.pieces import PIECES, checked_tag

FILE_NAMES: Mapping[Kind, str] = {kind: f"{kind.plural}.csv" for kind in Kind}
MEASURED = ("measured_with", "measured_on", "measured_by")
_INSPECTED = (Kind.BROACH, Kind.BUSHING, Kind.SHIM)
_MOST_NM2 = 10**18  # 1 m^2; a column of 64 bits holds nine times that
_COUNT = re.compile(r"\d{1,4}", re.ASCII)
_COLUMN = "column"
Progress = Callable[[int], None]


def needed_columns(kind: Kind) -> tuple[str, ...]:
    """The columns a file of this kind must have, in their order."""
    own = ("set", "home", "condition", "note") if kind in _INSPECTED else ("home", "note")
    return ("tag", *figure_columns(kind), *own)


def optional_columns(kind: Kind) -> tuple[str, ...]:
    """The columns that may be missing: a file without them says nothing about them."""
    return MEASURED if kind in _INSPECTED else ()


@dataclass(frozen=True, slots=True)
class Entry:
    """One row that is a record."""

    number: int
    record: Record


@dataclass(slots=True)
class Filled:
    """What one file held.

    ``given`` names the columns of a piece's row, figures apart, that the file tells; ``tags`` are those of all its
    rows, with their numbers, also of rows that are wrong elsewhere.
    """

    name: str
    kind: Kind
    given: tuple[str, ...]
    entries: list[Entry] = field(default_factory=list)
    tags: list[tuple[int, str]] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)


def read_form(text: Text, progress: Progress | None = None) -> Filled:
    """Read one file into records.

    ``problems`` of the result has a line for every bad cell and row. A file whose header is wrong gives no records.

    Raises
    ------
    InputError : the file is empty, or neither its name nor its header tells its kind.
    """
    lines = rows(text)
    header = next(lines, None)
    if header is None:
        raise InputError(f"{text.name}: it is empty; the first row must name the columns")
    columns = [cell.lower() for cell in header.cells]
    kind = _kind_of(text.name, columns, header)
    filled = Filled(text.name, kind, _given(columns))
    filled.problems += _header_problems(text.name, kind, header, columns)
    if filled.problems:
        return filled
    parser = _Parser(filled, columns)
    for row in lines:
        parser.take(row)
        if progress is not None and row.number % 500 == 0:
            progress(row.number)
    if progress is not None:
        progress(text.lines)
    return filled


class _Parser:
    """Turns rows into entries of one `Filled`; repeated cells, of which a crib has many, are read once."""

    def __init__(self, filled: Filled, columns: Sequence[str]) -> None:
        self._filled = filled
        self._columns = columns
        self._figures = {figure.name: figure for figure in FIGURES[filled.kind]}
        self._known: dict[tuple[Quantity, str], Value | str] = {}

    def take(self, row: Row) -> None:
        problem = row.problem
        if not problem and len(row.cells) != len(self._columns):
            problem = f"it has {len(row.cells)} cells; the header has {len(self._columns)}"
        if problem:
            self._tell(row.number, "", problem)
            return
        before = len(self._filled.problems)
        cells = dict(zip(self._columns, row.cells, strict=True))
        for column, cell in cells.items():
            if wrong := hidden(cell):
                self._tell(row.number, column, wrong)
        if len(self._filled.problems) == before:
            self._record(row.number, cells)

    def _record(self, number: int, cells: Mapping[str, str]) -> None:
        before = len(self._filled.problems)
        self._tag(number, cells["tag"])
        values = {name: self._figure(number, name, cells[name]) for name in self._figures}
        words = {name: self._words(number, name, cells.get(name, "")) for name in _TEXTS}
        condition = self._condition(number, cells.get("condition", ""))
        on = self._day(number, cells.get("measured_on", ""))
        if len(self._filled.problems) > before:
            return
        try:
            piece = PIECES[self._filled.kind](tag=cells["tag"], **_known(values))
        except InputError as error:
            self._tell(number, *self._blamed(str(error)))
            return
        measured = Measured(words["measured_with"], on, words["measured_by"])
        record = Record(
            piece=piece,
            set_name=words["set"],
            home=words["home"],
            condition=condition,
            note=words["note"],
            measured=measured,
        )
        self._filled.entries.append(Entry(number, record))

    def _tell(self, number: int, column: str, problem: str) -> None:
        where = f", column {column}" if column else ""
        self._filled.problems.append(f"{self._filled.name}, row {number}{where}: {problem}")

    def _tag(self, number: int, cell: str) -> None:
        try:
            self._filled.tags.append((number, checked_tag(cell)))
        except InputError as error:
            self._tell(number, "tag", str(error).removeprefix("tag: "))

    def _figure(self, number: int, name: str, cell: str) -> Value | None:
        if not cell:
            return None
        quantity = self._figures[name].quantity
        value = self._known.get((quantity, cell))
        if value is None:
            value = self._known[quantity, cell] = read_figure(quantity, cell)
        if isinstance(value, str):
            self._tell(number, name, value)
            return None
        return value

    def _words(self, number: int, name: str, cell: str) -> str:
        text = unguarded(cell)
        if len(text) > LONGEST_CELL:
            self._tell(number, name, f"read {quoted(text)}; at most {LONGEST_CELL} characters")
        return text

    def _condition(self, number: int, cell: str) -> Condition:
        try:
            return Condition(cell.lower() or Condition.FIT)
        except ValueError:
            self._tell(number, "condition", f"read {quoted(cell)}; write fit, worn or unfit (empty is fit)")
            return Condition.FIT

    def _day(self, number: int, cell: str) -> date | None:
        try:
            return checked_day(cell, _COLUMN)
        except InputError as error:
            self._tell(number, "measured_on", str(error).removeprefix(f"{_COLUMN}: "))
            return None

    def _blamed(self, said: str) -> tuple[str, str]:
        """The column that a piece's refusal speaks of, and the refusal without its name where it begins with one."""
        for name, figure in self._figures.items():
            if said.startswith(f"{figure.label}: "):
                return name, said.removeprefix(f"{figure.label}: ")
            if said.startswith((name.replace("_", " "), figure.label)):
                return name, said
        return "tag", said


_TEXTS = ("set", "home", "note", "measured_with", "measured_by")
_READERS: Mapping[Quantity, Callable[[str, str], Value]] = {
    Quantity.LENGTH: parse_length,
    Quantity.AREA: parse_area,
    Quantity.FORCE: parse_force,
}


def read_figure(quantity: Quantity, cell: str) -> Value | str:
    """The figure in a cell, or what is wrong with it."""
    if quantity is Quantity.COUNT:
        return (
            int(cell)
            if _COUNT.fullmatch(cell)
            else f"read {quoted(cell)}; write a whole number, for example 12"
        )
    try:
        value = _READERS[quantity](cell, _COLUMN)
    except InputError as error:
        return str(error).removeprefix(f"{_COLUMN}: ")
    if quantity is Quantity.AREA and getattr(value, "nm2", 0) > _MOST_NM2:
        return f"read {quoted(cell)}; it must not be over 1 m^2"
    return value


def _known(values: Mapping[str, Value | None]) -> dict[str, Any]:
    return {name: value for name, value in values.items() if value is not None}


def _given(columns: Sequence[str]) -> tuple[str, ...]:
    names = {"set": "set_name"}
    return tuple(
        names.get(column, column) for column in columns if column in (*_TEXTS, "condition", "measured_on")
    )


def _kind_of(name: str, columns: Sequence[str], header: Row) -> Kind:
    """By the file's name, else by its header."""
    base = re.split(r"[/\\]", name)[-1].lower()
    for kind, file_name in FILE_NAMES.items():
        if base == file_name:
            return kind
    for kind in Kind:
        if set(needed_columns(kind)) <= set(columns) <= {*needed_columns(kind), *optional_columns(kind)}:
            return kind
    raise InputError(
        f"{name}: neither its name nor its header (read {quoted(','.join(header.cells))}) tells what pieces it holds; name it {', '.join(FILE_NAMES.values())}"
    )


def _header_problems(name: str, kind: Kind, header: Row, columns: Sequence[str]) -> list[str]:
    where = f"{name}, row {header.number}"
    if header.problem:
        return [f"{where}: {header.problem}"]
    if len(columns) == 1 and any(mark in columns[0] for mark in ";\t"):
        return [f"{where}: the columns must be separated by commas"]
    needed, optional = needed_columns(kind), optional_columns(kind)
    problems = [f"{where}: column {column} is missing" for column in needed if column not in columns]
    for place, column in enumerate(columns):
        if column not in (*needed, *optional):
            read = quoted(header.cells[place]) if column else "an empty cell"
            problems.append(
                f"{where}: read {read}, which is no column of {kind.plural}; there are: {', '.join((*needed, *optional))}"
            )
        elif column in columns[:place]:
            problems.append(f"{where}: column {column} stands there twice")
    return problems
