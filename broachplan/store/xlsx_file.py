"""Workbooks with a sheet for each kind of piece: read row by row, and written with nothing in them but text."""

from __future__ import annotations

import re
import warnings
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from io import BytesIO
from math import isfinite
from pathlib import Path
from typing import Any

from broachplan.errors import InputError, quoted
from broachplan.store.cell_guard import guarded, misread
from broachplan.store.csv_file import FileRow, bytes_of
from broachplan.store.xlsx_door import check_book
from broachplan.tooling.figures import Kind

# What the workbooks of spreadsheets are named by. All but the first are refused, in words of their own.
_ENDINGS = (".xlsx", ".xlsm", ".xltx", ".xltm", ".xlsb", ".xls", ".ods")
_KINDS = tuple(kind.plural for kind in Kind)
_DAYS = ("measured_on", "due", "press_by")
_MOST_DIGITS = 15  # of a number in a spreadsheet: from memory
_WIDTH = 16
_PLAIN_TITLE = re.compile(r"[A-Za-z0-9_-]{1,31}", re.ASCII)
# In a workbook `_x0041_` is the letter A, and `_x005F_` the stroke that keeps such text as it is: ISO/IEC 29500-1, ST_Xstring.
_TAKEN_FOR_ESCAPE = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
_ESCAPED = re.compile(r"_x005F_(?=x[0-9A-Fa-f]{4}_)")
# What XML 1.0 (2.2) has no place for.
_NOT_IN_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
_AS_TEXT = "format the cell as text and write it again"


def is_book(path: Path) -> bool:
    """Whether a file is named as the workbooks of spreadsheets are."""
    return path.suffix.lower() in _ENDINGS


@dataclass(frozen=True, slots=True)
class WorkbookSheet:
    """One sheet of a workbook, and the name to call it by; ``title`` may be the name of a kind."""

    name: str
    title: str
    lines: int
    cells: Any

    @property
    def ending(self) -> str:
        """A sheet is named by the kind alone."""
        return ""

    def rows(self) -> Iterator[FileRow]:
        """The rows with anything in them, each cell as text or with what is wrong with it, as wide as the first at least.

        Raises
        ------
        InputError : the rest of the sheet cannot be read.
        """
        header: list[str] = []
        for number, cells in enumerate(self._raw_rows(), 1):
            row = _row(number, cells, header)
            if any(row.cells) or row.wrong:
                header = header or [cell.lower() for cell in row.cells]
                yield row

    def _raw_rows(self) -> Iterator[Sequence[Any]]:
        self.cells.reset_dimensions()
        rest, number = self.cells.iter_rows(), 0
        while True:
            number += 1
            with _its_failures(f"{self.name}, row {number}"):
                cells = next(rest, None)
            if cells is None:
                return
            yield cells


def load_book(path: Path, name: str) -> list[WorkbookSheet]:
    """The sheets of a workbook that have anything in them or are named as a kind is; nothing large is read in first.

    Raises
    ------
    InputError : as `bytes_of` and `check_book`; also where no workbook can be read here.
    """
    data = bytes_of(path, name)
    seen = check_book(data, name)
    openpyxl = _openpyxl()
    with _its_failures(name):
        book = openpyxl.load_workbook(BytesIO(data), read_only=True, data_only=False, keep_links=False)
        found, sheets_read = book.worksheets, len(book.sheetnames)
    if sheets_read != seen.sheets:
        raise InputError(name, f"it names {seen.sheets} sheets and has {sheets_read}; save it again as .xlsx")
    sheets = [
        WorkbookSheet(
            f"{name}, sheet {_shown(each.title)}", _plain(each.title), each.max_row or seen.rows, each
        )
        for each in found
    ]
    filled = [sheet for sheet in sheets if sheet.title in _KINDS or any(True for _ in sheet.rows())]
    if not filled:
        raise InputError(name, "it is empty; the first row of a sheet must name the columns")
    if len(filled) == 1 and filled[0].title not in _KINDS:
        (only,) = filled
        return [WorkbookSheet(only.name, _plain(path.stem), only.lines, only.cells)]
    return filled


def as_book(tables: Iterable[tuple[str, Iterable[Sequence[str]]]]) -> bytes:
    """A workbook with a sheet for each title, the header row first; every cell is text, whatever it looks like.

    Raises
    ------
    InputError : a text holds a character that no workbook can, or no workbook can be written here.
    OSError : there is no room for the sheets, which the library keeps in files until the workbook is whole.
    """
    book = _openpyxl().Workbook(write_only=True)
    written = BytesIO()
    try:
        for title, rows in tables:
            _write_sheet(book.create_sheet(title), rows)
        book.save(written)
    except OSError:
        _let_go(book.worksheets)
        raise
    return written.getvalue()


def _let_go(sheets: Iterable[Any]) -> None:
    """Close what the library left open when the disk was full, else it complains to the user on its way out."""
    for sheet in sheets:
        for opened in (sheet._rows, sheet._writer):
            with suppress(Exception):
                opened.close()


def _write_sheet(sheet: Any, rows: Iterable[Sequence[str]]) -> None:
    from openpyxl.cell import WriteOnlyCell
    from openpyxl.utils import get_column_letter

    sheet.freeze_panes = "A2"
    cells: list[tuple[Any, Any]] = []
    for row in rows:
        for place in range(len(cells), len(row)):
            # So wide that it can be read, and text also where nobody wrote yet.
            column = sheet.column_dimensions[get_column_letter(place + 1)]
            column.width, column.number_format = max(_WIDTH, len(row[place]) + 2), "@"
            plain, marked = WriteOnlyCell(sheet), WriteOnlyCell(sheet)
            plain.number_format = marked.number_format = "@"
            marked.quotePrefix = True
            cells.append((plain, marked))
        # A row is written when it is appended, so that its cells serve for the next one too.
        sheet.append([_filled(pair[misread(text)], text) for pair, text in zip(cells, row, strict=True)])


def _filled(cell: Any, text: str) -> Any:
    if found := _NOT_IN_XML.search(text):
        raise InputError(
            f"read {quoted(text)}; the character U+{ord(found.group()):04X} cannot be in a workbook",
            "write CSV files",
        )
    # Of texts in a workbook only those need an apostrophe that without it would lose their own on the way back.
    cell.value = _TAKEN_FOR_ESCAPE.sub("_x005F_", guarded(text) if text.startswith("'") else text)
    # Else it is a formula or an error where it looks like one.
    cell.data_type = "s"
    return cell


def _row(number: int, cells: Sequence[Any], header: Sequence[str]) -> FileRow:
    texts: list[str] = []
    wrong: dict[int, str] = {}
    for place, cell in enumerate(cells):
        text, problem = _read(cell, day=place < len(header) and header[place] in _DAYS)
        texts.append(text)
        if problem:
            wrong[place] = problem
    while texts and not texts[-1] and len(texts) - 1 not in wrong:
        texts.pop()
    texts += [""] * (len(header) - len(texts))
    return FileRow(number, texts, wrong=wrong)


def _read(cell: Any, *, day: bool) -> tuple[str, str]:
    """A cell as text, or what is wrong with it."""
    value = cell.value
    if value is None:
        return "", ""
    if cell.data_type == "f":
        return "", "it holds a formula; write what it gives"
    if cell.data_type == "e":
        return "", f"it holds the error {quoted(str(value))}; write what is right"
    if isinstance(value, str):
        return _ESCAPED.sub("_", value).strip(), ""
    if isinstance(value, bool):
        return "", f"it holds a truth, {str(value).upper()}; {_AS_TEXT}"
    if isinstance(value, date):
        shown = (value.date() if isinstance(value, datetime) else value).isoformat()
        return (shown, "") if day else ("", f"it holds the day {shown}; {_AS_TEXT}")
    if isinstance(value, time | timedelta):
        return "", f"it holds the time {value}; {_AS_TEXT}"
    return _number(value)


def _number(value: float) -> tuple[str, str]:
    if not isfinite(value) or abs(value) >= 10**_MOST_DIGITS:
        return "", f"it holds a number of more than {_MOST_DIGITS} digits; {_AS_TEXT}"
    return f"{Decimal(format(value, f'.{_MOST_DIGITS}g')):f}", ""


def _shown(title: str) -> str:
    return title if _PLAIN_TITLE.fullmatch(title) else quoted(title)


def _plain(title: str) -> str:
    return title.strip().lower()


@contextmanager
def _its_failures(name: str) -> Iterator[None]:
    """Turn whatever the library raises over a workbook, which is not to be foreseen, into one line; its warnings are not ours."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    except Exception as error:
        raise InputError(name, "it cannot be read as .xlsx; save it again, or as CSV UTF-8") from error


def _openpyxl() -> Any:
    """The library that reads and writes workbooks; it is loaded only where there is one.

    Raises
    ------
    InputError : it is not installed.
    """
    try:
        import openpyxl
    except ImportError as error:
        raise InputError(
            "workbooks need openpyxl, which is not installed",
            "pip install 'broachplan[xlsx]', or use CSV files",
        ) from error
    return openpyxl
