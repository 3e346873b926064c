"""What a workbook must be before any of it is read in: a zip of well-formed parts that are not too much.

A workbook is packed, so a small file may hold far more than any memory, and a reader of XML may be led by a document
type to other files. The lowest parser reads every part once and keeps nothing.
"""

from __future__ import annotations

import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from io import BytesIO
from xml.parsers import expat
from zipfile import ZIP_DEFLATED, ZIP_STORED, BadZipFile, ZipFile, ZipInfo

from broachplan.errors import InputError, quoted
from broachplan.store.csv_file import MOST_COLUMNS, MOST_ROWS
from broachplan.tooling.figures import Kind

_MOST_UNPACKED = 200_000_000
# Tables pack to a tenth or a thirtieth; what is made to burst packs to a thousandth. Little may pack as it likes.
_MOST_TIMES = 100
_LITTLE = 10_000_000
_MOST_PARTS = 1000
_MOST_TEXTS = 2_000_000
_MOST_CELLS = 5_000_000
_MOST_ELEMENTS = 15_000_000
_MOST_OTHERS = 200_000
_MOST_IN_A_CELL = 1000
_LONGEST_TEXT = 32_767  # characters that a cell of a spreadsheet may hold: from memory
_CHUNK = 64_000
# The parser starts again at an unfinished element with each chunk, which takes the square of its length.
_LONGEST_TOKEN = 4 * _CHUNK
_XML = (".xml", ".rels", ".vml")
_OLDER = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_NONE = "it is no .xlsx workbook, or it is cut short; save it again as .xlsx or as CSV UTF-8"
_UNREADABLE = (BadZipFile, zlib.error, EOFError, NotImplementedError, ValueError, OSError, RuntimeError)
_CELL_PARTS = ("v", "f", "is", "t", "r")


@dataclass(frozen=True, slots=True)
class BookSize:
    """How many sheets a workbook names, and how many rows they have or claim in all."""

    sheets: int
    rows: int


def check_book(data: bytes, name: str) -> BookSize:
    """Look a workbook through before it is read in.

    Raises
    ------
    InputError : it is no workbook, is cut short or locked, holds macros or a document type, unpacks to over 200 MB,
        claims or has over 200,000 rows, or has a text that no cell can hold.
    """
    if data.startswith(_OLDER):
        raise InputError(name, "it is an older workbook or one with a password; save it as .xlsx without one")
    try:
        with ZipFile(BytesIO(data)) as archive:
            _check_parts(archive, name)
            unpacked = sum(part.file_size for part in archive.infolist())
            if unpacked > min(_MOST_UNPACKED, max(_LITTLE, _MOST_TIMES * len(data))):
                raise InputError(
                    name,
                    f"it unpacks from {len(data):,} to {unpacked:,} bytes, more than a workbook of pieces does",
                )
            looked = _Looked(name)
            for part in archive.infolist():
                _look_through(archive, part, looked)
            return BookSize(looked.sheets, looked.claimed)
    except _UNREADABLE as error:
        raise InputError(name, _NONE) from error


def _check_parts(archive: ZipFile, name: str) -> None:
    """Check the list of the parts before any is unpacked."""
    parts = archive.infolist()
    names = [part.filename.lower() for part in parts]
    if "[content_types].xml" not in names:
        raise InputError(name, _NONE)
    if any(each.endswith("vbaproject.bin") or "/macrosheets/" in each for each in names):
        raise InputError(name, "it holds macros; save it as .xlsx")
    if len(parts) > _MOST_PARTS or len(set(names)) < len(parts):
        raise InputError(
            name, f"it has parts of one name, or over {_MOST_PARTS:,} parts; save it again as .xlsx"
        )
    if any(part.flag_bits & 1 for part in parts):
        raise InputError(name, "it is locked with a password; save it without one")
    if any(part.compress_type not in (ZIP_STORED, ZIP_DEFLATED) for part in parts):
        raise InputError(name, "it is packed in a way that no spreadsheet packs; save it again as .xlsx")


def _look_through(archive: ZipFile, part: ZipInfo, looked: _Looked) -> None:
    """Let the parser see a part. What is no XML, as a picture, is left alone unless it is named as XML is."""
    parser = looked.parser()
    fed = 0
    try:
        with archive.open(part) as opened:
            while chunk := opened.read(_CHUNK):
                parser.Parse(chunk)
                fed += len(chunk)
                if fed - parser.CurrentByteIndex > _LONGEST_TOKEN:
                    raise InputError(looked.name, "it holds something too long to be of a workbook")
        parser.Parse(b"", True)
    except expat.ExpatError as error:
        if part.filename.lower().endswith(_XML):
            raise InputError(looked.name, f"{_NONE} (its part {quoted(part.filename)})") from error


class _Looked:
    """What was seen so far in the parts of one workbook; refuses as soon as it is too much."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.sheets = 0
        self._before = self._row_at = self._last = 0
        self._elements = self._others = self._texts = self._all_cells = 0
        self._cells = self._in_cell = self._length = 0
        self._inside = False

    @property
    def claimed(self) -> int:
        """The rows of all sheets, empty ones above a row and those that a sheet says it has included."""
        return self._before + self._last

    def parser(self) -> expat.XMLParserType:
        """A parser for one more part."""
        self._before, self._row_at, self._last = self.claimed, 0, 0
        parser = expat.ParserCreate()
        parser.buffer_text = True
        parser.StartDoctypeDeclHandler = self._document_type
        parser.StartElementHandler = self._element
        parser.CharacterDataHandler = self._text
        self._inside = False
        return parser

    def _refuse(self, why: str) -> None:
        raise InputError(self.name, why)

    def _document_type(self, *_: object) -> None:
        self._refuse("it has a document type, which no workbook needs; save it again as .xlsx")

    def _element(self, tag: str, attributes: Mapping[str, str]) -> None:
        name = tag.rpartition(":")[2]
        self._elements += 1
        if name == "c":
            self._cell(attributes.get("r", ""))
        elif name in _CELL_PARTS:
            self._in_cell += 1
        elif name == "row":
            self._row(attributes.get("r", ""))
        elif name == "si":
            self._texts += 1
            self._begin()
        else:
            self._other(name, attributes)
        if (
            self._elements > _MOST_ELEMENTS
            or self._all_cells > _MOST_CELLS
            or self._texts > _MOST_TEXTS
            or self._in_cell > _MOST_IN_A_CELL
        ):
            self._refuse("it holds more than a workbook of pieces can; split it")

    def _begin(self) -> None:
        self._inside, self._length, self._in_cell = True, 0, 0

    def _cell(self, place: str) -> None:
        self._begin()
        self._cells += 1
        self._all_cells += 1
        letters = place.rstrip("0123456789").upper()
        if self._cells > MOST_COLUMNS or len(letters) > 2 or _column(letters) > MOST_COLUMNS:
            self._refuse(
                f"a row has cells beyond column {MOST_COLUMNS}; delete the columns that are not used"
            )

    def _row(self, number: str) -> None:
        self._cells = 0
        before, self._row_at = self._row_at, int(number or self._row_at + 1)
        if self._row_at <= before:
            self._refuse("its rows are not in order; save it again as .xlsx")
        self._claim(self._row_at)

    def _other(self, name: str, attributes: Mapping[str, str]) -> None:
        self._others += 1
        if name == "sheet" and "sheetId" in attributes:
            self.sheets += 1
        elif name == "dimension":
            last = attributes.get("ref", "").rpartition(":")[2].lstrip("$ABCDEFGHIJKLMNOPQRSTUVWXYZ")
            self._claim(int(last or 1))
        if self._others > _MOST_OTHERS:
            self._refuse("it holds more than a workbook of pieces can; copy the pieces into a new one")

    def _claim(self, rows: int) -> None:
        self._last = max(self._last, rows)
        if self.claimed > MOST_ROWS + len(Kind):
            self._refuse(
                f"it has or claims more than {MOST_ROWS:,} rows; split it, or delete the empty rows below the last piece"
            )

    def _text(self, text: str) -> None:
        self._length += len(text)
        if self._inside and self._length > _LONGEST_TEXT:
            self._refuse(f"a cell holds more than {_LONGEST_TEXT:,} characters")


def _column(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - ord("A") + 1
    return number
