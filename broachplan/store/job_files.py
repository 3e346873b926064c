"""A list of jobs read from CSV files and workbooks: rows of texts, and everything that is wrong with the files themselves."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from broachplan.crib.words import hidden
from broachplan.errors import InputError, quoted
from broachplan.questions.jobs import COLUMNS, NEEDED
from broachplan.store.cell_guard import unguarded
from broachplan.store.csv_file import MOST_COLUMNS, FileRow, check_name, load
from broachplan.store.csv_form import Source
from broachplan.store.exchange import named_files
from broachplan.store.xlsx_file import is_book, load_book

_TITLE = "jobs"
# No cell may be as long; it is refused without a look at the rest.
_LOOKED_AT = 201


@dataclass(frozen=True, slots=True)
class ListedJob:
    """One row of a list: ``where`` it is, the job's number, and the texts of the columns that the list has."""

    where: str
    number: str
    texts: Mapping[str, str]

    def wrong(self, column: str, said: str) -> str:
        """A line about one cell of the row, or about the row where no column is named."""
        return f"{self.where}{f', column {column}' if column else ''}: {said}"


@dataclass(frozen=True, slots=True)
class JobLists:
    """The rows of some files, and a line for each thing that is wrong with them."""

    rows: tuple[ListedJob, ...]
    problems: tuple[str, ...]


def read_lists(paths: Iterable[Path]) -> JobLists:
    """Read lists of jobs; what is wrong with a file, its header or a row of it is in ``problems``."""
    rows: list[ListedJob] = []
    problems: list[str] = []
    for path, name in named_files(paths):
        try:
            check_name(path)
            source = _sheet(path, name) if is_book(path) else load(path, name)
            rows += _rows(source, problems)
        except InputError as error:
            problems.append(str(error))
    return JobLists(tuple(rows), tuple(problems))


def _sheet(path: Path, name: str) -> Source:
    """The one sheet of a workbook that has anything in it, else the one that is named jobs."""
    sheets = load_book(path, name)
    found = sheets if len(sheets) == 1 else [sheet for sheet in sheets if sheet.title == _TITLE]
    if len(found) != 1:
        raise InputError(name, f"it has {len(sheets)} sheets; name the one with the jobs {_TITLE}")
    return found[0]


def _rows(source: Source, problems: list[str]) -> Iterator[ListedJob]:
    lines = source.rows()
    header = next(lines, None)
    if header is None:
        raise InputError(source.name, "it is empty; the first row must name the columns")
    columns = [cell.lower() for cell in header.cells]
    if wrong := _wrong_header(source.name, header, columns):
        problems += wrong
        return
    for row in lines:
        where = f"{source.name}, row {row.number}"
        if wrong := _wrong_row(where, row, columns):
            problems += wrong
            continue
        texts = {column: unguarded(cell) for column, cell in zip(columns, row.cells, strict=True)}
        yield ListedJob(where, texts.pop("number"), texts)


def _wrong_header(name: str, header: FileRow, columns: Sequence[str]) -> list[str]:
    where = f"{name}, row {header.number}"
    if header.problem or header.wrong:
        return [f"{where}: {problem}" for problem in (header.problem, *header.wrong.values()) if problem]
    if len(columns) == 1 and any(mark in columns[0] for mark in ";\t"):
        return [f"{where}: the columns must be separated by commas"]
    if len(columns) > MOST_COLUMNS:
        return [f"{where}: it has {len(columns):,} cells; jobs have {len(COLUMNS)}"]
    wrong = [f"{where}: column {each} is missing" for each in ("number", *NEEDED) if each not in columns]
    for place, column in enumerate(columns):
        if column not in COLUMNS:
            read = quoted(header.cells[place]) if column else "an empty cell"
            wrong.append(f"{where}: read {read}, which is no column of jobs; there are: {', '.join(COLUMNS)}")
        elif column in columns[:place]:
            wrong.append(f"{where}: column {column} is there twice")
    return wrong


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
