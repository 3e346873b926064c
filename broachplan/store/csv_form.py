"""The form of each kind of piece: its columns, and one file's or sheet's rows turned into records or into problems.

The columns of the figures come from the table of figures, so form, list and database stay in step.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any, Protocol

from broachplan.crib.records import Condition, Measurement, Record
from broachplan.crib.words import hidden, read_condition, read_day, read_within
from broachplan.errors import InputError, quoted
from broachplan.lengths import Length
from broachplan.questions.piece import WORDS, YES
from broachplan.store.cell_guard import unguarded
from broachplan.store.csv_columns import MADE_HERE, MEASURED_TO, column_of, header_problems, kind_of
from broachplan.store.csv_file import LONGEST_CELL, FileRow
from broachplan.tooling.figures import Kind, Quantity
from broachplan.tooling.measures import Value, read_figure
from broachplan.tooling.pieces import FIGURES, PIECES, FigureError
from broachplan.tooling.tags import checked_tag

_COLUMN = "column"
Progress = Callable[[int], None]


class Source(Protocol):
    """Rows of pieces of one kind, and what to call them by."""

    @property
    def name(self) -> str:
        """What messages begin with."""

    @property
    def title(self) -> str:
        """What may be the name of a kind, in the plural."""

    @property
    def ending(self) -> str:
        """What follows the name of a kind where the source is named by it."""

    @property
    def lines(self) -> int:
        """About how many rows there are."""

    def rows(self) -> Iterator[FileRow]:
        """The rows with anything in them, cells stripped.

        Raises
        ------
        InputError : the rest cannot be read.
        """


@dataclass(frozen=True, slots=True)
class ImportedRow:
    """One row that is a record."""

    number: int
    record: Record


@dataclass(slots=True)
class Filled:
    """What one file held.

    ``given`` names the columns of the file that are no figures, and ``figures`` those that are; ``tags``
    are those of all its rows, with their numbers, also of rows that are wrong elsewhere.
    """

    name: str
    kind: Kind
    given: tuple[str, ...]
    figures: tuple[str, ...] = ()
    entries: list[ImportedRow] = field(default_factory=list)
    tags: list[tuple[int, str]] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)


def read_form(source: Source, progress: Progress | None = None) -> Filled:
    """Read one file or sheet into records.

    ``problems`` of the result has a line for every bad cell and row. A file whose header is wrong gives no records.

    Raises
    ------
    InputError : it is empty or cannot be read, or neither its name nor its header says its kind.
    """
    lines = source.rows()
    header = next(lines, None)
    if header is None:
        raise InputError(source.name, "it is empty; the first row must name the columns")
    columns = [cell.lower() for cell in header.cells]
    kind = kind_of(source.title, source.name, source.ending, columns, header)
    filled = Filled(source.name, kind, _given(columns), _figures(kind, columns))
    filled.problems += header_problems(source.name, kind, header, columns)
    if filled.problems:
        return filled
    parser = _Parser(filled, columns)
    for row in lines:
        parser.take(row)
        if progress is not None and row.number % 500 == 0:
            progress(row.number)
    if progress is not None:
        progress(source.lines)
    return filled


class _Parser:
    """Turns rows into entries of one `Filled`; repeated cells, of which a crib has many, are read once."""

    def __init__(self, filled: Filled, columns: Sequence[str]) -> None:
        self._filled = filled
        self._columns = columns
        self._figures = {figure.name: figure for figure in FIGURES[filled.kind]}
        self._known: dict[tuple[Quantity, str], Value | str] = {}

    def take(self, row: FileRow) -> None:
        problem = row.problem
        if not problem and len(row.cells) != len(self._columns):
            problem = f"it has {len(row.cells)} cells; the header has {len(self._columns)}"
        if problem:
            self._report(row.number, "", problem)
            return
        before = len(self._filled.problems)
        for place, wrong in row.wrong.items():
            self._report(row.number, self._columns[place], wrong)
        cells = dict(zip(self._columns, row.cells, strict=True))
        together = "".join(row.cells)
        if not (together.isascii() and together.isprintable()):
            for column, cell in cells.items():
                if wrong := hidden(cell[:_LOOKED_AT]):
                    self._report(row.number, column, wrong)
        if len(self._filled.problems) == before:
            self._record(row.number, cells)

    def _record(self, number: int, cells: Mapping[str, str]) -> None:
        before = len(self._filled.problems)
        tag = unguarded(cells["tag"])
        self._tag(number, tag)
        values = {name: self._figure(number, name, cells.get(name, "")) for name in self._figures}
        words = {name: self._words(number, name, cells.get(name, "")) for name in _TEXTS}
        condition = self._condition(number, cells.get("condition", ""))
        on = self._day(number, unguarded(cells.get("measured_on", "")))
        made_here = self._made_here(number, cells.get(MADE_HERE, ""))
        to = self._measured_to(number, unguarded(cells.get(MEASURED_TO, "")))
        if len(self._filled.problems) > before:
            return
        try:
            piece = PIECES[self._filled.kind](tag=tag, **_known(values))
        except FigureError as error:
            label = self._figures[error.figure].label
            self._report(number, error.figure, error.said if error.field == label else str(error))
            return
        measured = Measurement(words["measured_with"], on, words["measured_by"], to)
        record = Record(
            piece=piece,
            set_name=words["set"],
            home=words["home"],
            condition=condition,
            note=words["note"],
            measured=measured,
            made_here=made_here,
        )
        self._filled.entries.append(ImportedRow(number, record))

    def _report(self, number: int, column: str, problem: str) -> None:
        where = f", column {column}" if column else ""
        self._filled.problems.append(f"{self._filled.name}, row {number}{where}: {problem}")

    def _tag(self, number: int, cell: str) -> None:
        try:
            self._filled.tags.append((number, checked_tag(cell)))
        except InputError as error:
            self._report(number, "tag", error.said)

    def _figure(self, number: int, name: str, cell: str) -> Value | None:
        if not cell:
            return None
        quantity = self._figures[name].quantity
        value = self._known.get((quantity, cell))
        if value is None:
            value = self._known[quantity, cell] = _read(quantity, cell)
        if isinstance(value, str):
            self._report(number, name, value)
            return None
        return value

    def _words(self, number: int, name: str, cell: str) -> str:
        text = unguarded(cell)
        if len(text) > LONGEST_CELL:
            self._report(number, name, f"read {quoted(text)}; at most {LONGEST_CELL} characters")
        return text

    def _condition(self, number: int, cell: str) -> Condition:
        try:
            return read_condition(cell or Condition.FIT, inspected=False)
        except InputError:
            self._report(number, "condition", f"read {quoted(cell)}; write fit, worn or unfit (empty is fit)")
            return Condition.FIT

    def _day(self, number: int, cell: str) -> date | None:
        try:
            return read_day(cell, _COLUMN)
        except InputError as error:
            self._report(number, "measured_on", error.said)
            return None

    def _measured_to(self, number: int, cell: str) -> Length | None:
        try:
            return read_within(cell, _COLUMN)
        except InputError as error:
            self._report(number, MEASURED_TO, error.said)
            return None

    def _made_here(self, number: int, cell: str) -> bool:
        word = cell.lower()
        if word not in (YES, "no", ""):
            self._report(number, MADE_HERE, f"read {quoted(cell)}; write yes or no (empty is no)")
        return word == YES


_TEXTS = ("set", "home", "note", "measured_with", "measured_by")
_BESIDE = frozenset(line.name for line in WORDS)
# No cell may be as long; it is refused without a look at the rest.
_LOOKED_AT = LONGEST_CELL + 1


def _read(quantity: Quantity, cell: str) -> Value | str:
    """The figure in a cell, or what is wrong with it."""
    try:
        return read_figure(quantity, cell, _COLUMN)
    except InputError as error:
        return error.said


def _known(values: Mapping[str, Value | None]) -> dict[str, Any]:
    return {name: value for name, value in values.items() if value is not None}


def _given(columns: Sequence[str]) -> tuple[str, ...]:
    return tuple(column_of(column) for column in columns if column in _BESIDE)


def _figures(kind: Kind, columns: Sequence[str]) -> tuple[str, ...]:
    return tuple(figure.name for figure in FIGURES[kind] if figure.name in columns)
