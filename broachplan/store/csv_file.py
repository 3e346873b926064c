"""One CSV file as rows of plain cells: everything that can be wrong with a file before its cells mean anything."""

from __future__ import annotations

import csv
import io
import os
import re
import stat
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from broachplan.crib.words import LONGEST_WORDS
from broachplan.errors import InputError, quoted
from broachplan.store.location import reason

MOST_BYTES = 20_000_000
MOST_ROWS = 200_000
MOST_COLUMNS = 100
LONGEST_CELL = LONGEST_WORDS
_LONGEST_NAME = 200
_SAVE = "save it from the spreadsheet as CSV UTF-8"


@dataclass(frozen=True, slots=True)
class FileRow:
    """One row with its number as a spreadsheet shows it: the header is row 1.

    ``problem`` replaces bad cells; ``wrong`` has what is wrong with single cells, by their places.
    """

    number: int
    cells: list[str]
    problem: str = ""
    wrong: Mapping[int, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class CsvText:
    """A file's text, and the name to call it by."""

    name: str
    text: str

    @property
    def title(self) -> str:
        """What may be the name of a kind of piece: the file's own name without its ending."""
        base = re.split(r"[/\\]", self.name)[-1].lower()
        return base.removesuffix(self.ending) if base.endswith(self.ending) else ""

    @property
    def ending(self) -> str:
        """What follows the name of a kind where the file is named by it."""
        return ".csv"

    @property
    def lines(self) -> int:
        """About how many rows it has."""
        return self.text.count("\n")

    def rows(self) -> Iterator[FileRow]:
        """See `rows`."""
        return rows(self)


def shown_name(name: str) -> str:
    """How messages call a file: by its name, quoted where that is long or holds what cannot be seen."""
    return name if name.isprintable() and len(name) <= _LONGEST_NAME else quoted(name, most=_LONGEST_NAME)


def check_name(path: Path) -> None:
    """Raise `InputError` unless the system can be asked for a file of that name."""
    try:
        os.lstat(path)
    except ValueError as error:
        shown = quoted(str(path), most=200)
        raise InputError("path", "it holds characters that no file's name has", shown=shown) from error
    except OSError:
        # What else is wrong with it is reported where it is used.
        return


def bytes_of(path: Path, name: str) -> bytes:
    """All of a file of at most 20 MB; a folder, a device, a pipe or anything else without an end is not opened.

    Raises
    ------
    InputError : it is missing, not a file, too large, or cannot be read.
    """
    try:
        if not path.is_file():
            raise InputError(name, "it is not a file" if path.exists() else "there is no such file")
        # Another may have taken its place since: what is opened is looked at again, and without waiting for a writer.
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
        with open(handle, "rb") as file:
            facts = os.fstat(handle)
            if not stat.S_ISREG(facts.st_mode):
                raise InputError(name, "it is not a file")
            if facts.st_size > MOST_BYTES:
                raise InputError(name, f"it has {facts.st_size:,} bytes; the limit is {MOST_BYTES:,} bytes")
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise InputError(name, f"it cannot be read: {reason(error)}") from error
    if len(data) > MOST_BYTES:
        raise InputError(name, f"it has more than {MOST_BYTES:,} bytes, the limit")
    return data


def load(path: Path, name: str) -> CsvText:
    """Read a file of at most 20 MB and 200,000 rows of UTF-8.

    Raises
    ------
    InputError : as `bytes_of`; also where it has too many rows or is not UTF-8 text.
    """
    return decoded(bytes_of(path, name), name)


def decoded(data: bytes, name: str) -> CsvText:
    """The text of at most 20 MB and 200,000 rows of UTF-8; see `load`."""
    if len(data) > MOST_BYTES:
        raise InputError(name, f"it has more than {MOST_BYTES:,} bytes, the limit")
    if max(data.count(b"\n"), data.count(b"\r")) > MOST_ROWS + 1:
        raise InputError(name, f"it has more than {MOST_ROWS:,} rows; split it")
    # Without its mark, UTF-16 is known by the empty half of its first letter.
    if data.startswith((b"\xff\xfe", b"\xfe\xff")) or (b"\0" in data[:2] and data[:2] != b"\0\0"):
        raise InputError(name, f"it is UTF-16 text; {_SAVE}")
    if b"\0" in data:
        raise InputError(name, f"it is not text (it holds NUL bytes); {_SAVE}")
    try:
        return CsvText(name, data.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        row = data[: error.start].count(b"\n") + 1
        raise InputError(f"{name}, row {row}", f"it is not UTF-8 text; {_SAVE}") from error


def rows(text: CsvText) -> Iterator[FileRow]:
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
            yield FileRow(number, [], _csv_problem(str(error)))
            continue
        if any(cells):
            yield FileRow(number, cells)


def _csv_problem(said: str) -> str:
    if "unexpected end" in said:
        return "a quoted cell that begins in this row is never closed; close it with a double quote"
    if "field limit" in said:
        return f"a cell is too long, or a quote is never closed; at most {LONGEST_CELL} characters"
    return "a quoted cell continues after its closing quote; double every quote inside a quoted cell"
