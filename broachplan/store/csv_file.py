"""One CSV file as rows of plain cells: everything that can be wrong with a file before its cells mean anything."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from broachplan.crib.words import LONGEST_WORDS
from broachplan.errors import InputError
from broachplan.store.location import reason

MOST_BYTES = 20_000_000
MOST_ROWS = 200_000
LONGEST_CELL = LONGEST_WORDS
_SAVE = "save it from the spreadsheet as CSV UTF-8"
# A spreadsheet takes a cell that begins so for a formula, and an apostrophe before it for "this is text".
_FORMULA = re.compile(r"'*[=+\-@＝＋－＠]")


@dataclass(frozen=True, slots=True)
class Text:
    """A file's text, and the name to call it by."""

    name: str
    text: str

    @property
    def lines(self) -> int:
        """About how many rows it has."""
        return self.text.count("\n")


@dataclass(frozen=True, slots=True)
class Row:
    """One row with its number as a spreadsheet shows it: the header is row 1. ``problem`` in place of bad cells."""

    number: int
    cells: list[str]
    problem: str = ""


def load(path: Path, name: str) -> Text:
    """Read a file of at most 20 MB and 200,000 rows of UTF-8.

    Raises
    ------
    InputError : it is missing, not a file, too large, or not UTF-8 text; nothing large is read in first.
    """
    try:
        if not path.is_file():
            raise InputError(f"{name}: {'it is not a file' if path.exists() else 'there is no such file'}")
        if path.stat().st_size > MOST_BYTES:
            raise InputError(f"{name}: it has {path.stat().st_size:,} bytes; at most {MOST_BYTES:,} are read")
        data = path.read_bytes()
    except OSError as error:
        raise InputError(f"{name}: it cannot be read: {reason(error)}") from error
    return decoded(data, name)


def decoded(data: bytes, name: str) -> Text:
    """The text of at most 20 MB and 200,000 rows of UTF-8; see `load`."""
    if len(data) > MOST_BYTES:
        raise InputError(f"{name}: it has more than {MOST_BYTES:,} bytes, the most that are read")
    if max(data.count(b"\n"), data.count(b"\r")) > MOST_ROWS + 1:
        raise InputError(f"{name}: it has more than {MOST_ROWS:,} rows; split it")
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise InputError(f"{name}: it is UTF-16 text; {_SAVE}")
    if b"\0" in data:
        raise InputError(f"{name}: it is not text (it holds NUL bytes); {_SAVE}")
    try:
        return Text(name, data.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        row = data[: error.start].count(b"\n") + 1
        raise InputError(f"{name}, row {row}: it is not UTF-8 text; {_SAVE}") from error


def rows(text: Text) -> Iterator[Row]:
    """The rows with anything in them, cells stripped; a row that is no CSV comes with its problem."""
    reader = csv.reader(io.StringIO(text.text, newline=""), strict=True)
    number = 0
    while True:
        number += 1
        try:
            cells = [cell.strip() for cell in next(reader)]
        except StopIteration:
            return
        except csv.Error as error:
            yield Row(number, [], _csv_problem(str(error)))
            continue
        if any(cells):
            yield Row(number, cells)


def unguarded(cell: str) -> str:
    """A text cell without the apostrophe that kept a spreadsheet from taking it for a formula."""
    return cell[1:] if cell.startswith("'") and _FORMULA.match(cell) else cell


def guarded(text: str) -> str:
    """Text that no spreadsheet takes for a formula, and that `unguarded` gives back."""
    return f"'{text}" if _FORMULA.match(text) else text


def _csv_problem(said: str) -> str:
    if "unexpected end" in said:
        return "a quoted cell that begins in this row is never closed; close it with a double quote"
    if "field limit" in said:
        return f"a cell is too long, or a quote is never closed; at most {LONGEST_CELL} characters"
    return "a quoted cell goes on after its closing quote; double every quote inside a quoted cell"
