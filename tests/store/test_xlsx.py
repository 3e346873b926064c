"""Workbooks: written as text alone, read as people leave them, and refused before they do harm."""

from __future__ import annotations

import gc
import io
import random
import resource
import struct
import sys
import zipfile
from collections.abc import Callable, Mapping
from datetime import date, datetime, time
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import openpyxl
import pytest
from hypothesis import given, settings

from broachplan.crib.records import Measurement, Record
from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.store import xlsx_door, xlsx_file
from broachplan.store.csv_columns import usual_columns
from broachplan.store.csv_form import Filled, read_form
from broachplan.store.export import table_of, write_book
from broachplan.store.xlsx_file import as_book, load_book
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import Broach, Press, Shim
from tests.store.cribs import CHANGED, cribs, inch, small_crib

SHIMS = [*usual_columns(Kind.SHIM), "measured_on"]
HEADER = "<row>" + "".join(f'<c t="inlineStr"><is><t>{name}</t></is></c>' for name in SHIMS) + "</row>"
MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'


def book_of(records: list[Record]) -> bytes:
    return as_book(
        (kind.plural, table_of(kind, [each for each in records if each.piece.kind is kind])) for kind in Kind
    )


BOOK = book_of(small_crib())


def read(path: Path, data: bytes) -> list[Filled]:
    path.write_bytes(data)
    return [read_form(sheet) for sheet in load_book(path, path.name)]


def by_hand(sheets: Mapping[str, list[list[Any]]]) -> bytes:
    """A workbook as somebody types it into a spreadsheet."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for title, rows in sheets.items():
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append(row)
    written = io.BytesIO()
    book.save(written)
    return written.getvalue()


def packed(changed: Mapping[str, bytes], *, book: bytes = BOOK, **message: Any) -> bytes:
    """A workbook with some parts changed or added."""
    with zipfile.ZipFile(io.BytesIO(book)) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in (parts | changed).items():
            archive.writestr(name, data, **message)
    return made.getvalue()


def with_rows(rows: str, before: str = "") -> bytes:
    return packed(
        {
            "xl/worksheets/sheet3.xml": f"<worksheet {MAIN}>{before}<sheetData>{rows}</sheetData></worksheet>".encode()
        }
    )


@settings(max_examples=12, deadline=None)
@given(cribs(most=4))
def test_every_record_comes_back_from_a_workbook(
    tmp_path_factory: pytest.TempPathFactory, crib: list[Record]
) -> None:
    filled = read(tmp_path_factory.getbasetemp() / "any.xlsx", book_of(crib))

    assert [file.kind for file in filled] == list(Kind)
    assert [problem for file in filled for problem in file.problems] == []
    for kind, file in zip(Kind, filled, strict=True):
        assert [entry.record for entry in file.entries] == [each for each in crib if each.piece.kind is kind]


def test_every_cell_is_text_whatever_it_looks_like_and_stays_so_when_it_is_edited(tmp_path: Path) -> None:
    records = [Record(piece=Press(tag=f"{n}-1"), note=note) for n, note in enumerate(CHANGED)]

    write_book(tmp_path / "crib.xlsx", {Kind.PRESS: records, Kind.BROACH: small_crib()[:1]})

    book = openpyxl.load_workbook(tmp_path / "crib.xlsx")
    assert book.sheetnames == ["presses", "broaches"]
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row if cell.value is not None]
    assert len(cells) > 60
    assert {(cell.data_type, cell.number_format) for cell in cells} == {("s", "@")}
    (formula,) = [cell for cell in cells if cell.value == "=1+1"]
    assert formula.quotePrefix
    assert book["presses"].column_dimensions["G"].number_format == "@"
    assert (tmp_path / "crib.xlsx").stat().st_mode & 0o777 == 0o600


def test_a_workbook_edited_in_a_spreadsheet_is_read_as_it_is_meant(tmp_path: Path) -> None:
    columns = [*usual_columns(Kind.BROACH), "measured_on"]
    row = dict.fromkeys(columns) | {"tag": 1001, "keyway_width": "1/4 in", "rising_teeth": 20, "finishing_teeth": 2.0, "home": 4.5, "measured_on": datetime(2031, 5, 2, 13, 0)}  # fmt: skip

    (filled,) = read(
        tmp_path / "x.xlsx",
        by_hand({"Broaches": [[], [name.upper() for name in columns], [], list(row.values()), [None] * 40]}),
    )

    (entry,) = filled.entries
    assert entry.number == 4
    assert entry.record == Record(
        piece=Broach(tag="1001", keyway_width=inch("0.25"), rising_teeth=20, finishing_teeth=2),
        home="4.5",
        measured=Measurement(on=date(2031, 5, 2)),
    )


@pytest.mark.parametrize(
    ("column", "value", "message"),
    [
        ("thickness", 0.05, "read “0.05” without a unit; write a number and its unit, for example 1-1/4 in, 0.625 in, 625 thou or 30 mm"),
        ("width", "=1+1", "it holds a formula; write what it gives"),
        ("tag", date(2031, 1, 16), "it holds the day 2031-01-16; format the cell as text and write it again"),
        ("home", time(4, 2), "it holds the time 04:02:00; format the cell as text and write it again"),
        ("note", True, "it holds a truth, TRUE; format the cell as text and write it again"),
        ("note", 10**15, "it holds a number of more than 15 digits; format the cell as text and write it again"),
        ("note", "#N/A", "it holds the error “#N/A”; write what is right"),
        ("note", "two\nlines", "read “two\\u000alines”; the character U+000A must not be in it"),
        ("note", "n" * 32_000, f"read “{'n' * 39}…” (32000 characters); at most 200 characters"),
        ("measured_on", 47_970, "read “47970”; write a day such as 2031-05-28"),
    ],
)  # fmt: skip
def test_a_bad_cell_is_reported_by_its_place(tmp_path: Path, column: str, value: Any, message: str) -> None:
    row = dict.fromkeys(SHIMS) | {"tag": "S-1", column: value}

    (filled,) = read(tmp_path / "crib.xlsx", by_hand({"shims": [SHIMS, [], list(row.values())]}))

    assert filled.problems == [f"crib.xlsx, sheet shims, row 3, column {column}: {message}"]


def test_a_formula_with_its_result_is_still_a_formula(tmp_path: Path) -> None:
    cells = '<c t="inlineStr"><is><t>S-1</t></is></c><c t="str"><f>A1</f><v>1 mm</v></c>'

    filled = read(tmp_path / "x.xlsx", with_rows(f"{HEADER}<row>{cells}</row>"))[2]

    assert filled.problems == [
        "x.xlsx, sheet shims, row 2, column thickness: it holds a formula; write what it gives"
    ]


def test_cells_beyond_the_header_and_a_wrong_header_are_reported(tmp_path: Path) -> None:
    columns = list(usual_columns(Kind.SHIM))

    beyond, wrong = read(
        tmp_path / "x.xlsx",
        by_hand({"shims": [columns, ["S-1", *[None] * 8, "x"]], "pins": [["tag", "=A1"]]}),
    )

    assert beyond.problems == ["x.xlsx, sheet shims, row 2: it has 10 cells; the header has 8"]
    assert wrong.problems == ["x.xlsx, sheet pins, row 1: it holds a formula; write what it gives"]


@pytest.mark.parametrize("file_name", ["shims.xlsx", "from the shop.XLSX"])
def test_a_single_sheet_is_known_by_the_files_name_or_by_its_header(tmp_path: Path, file_name: str) -> None:
    data = by_hand({"Sheet1": [SHIMS, ["S-1", "1 mm"]], "Sheet2": [[], []]})

    (filled,) = read(tmp_path / file_name, data)

    assert filled.entries[0].record.piece == Shim(tag="S-1", thickness=Length.mm(1))


def test_a_sheet_of_unknown_kind_is_refused_by_its_name(tmp_path: Path) -> None:
    data = by_hand({"shims": [SHIMS], "to\u202edo": [["buy shims"]]})

    with pytest.raises(
        InputError,
        match=r"^x\.xlsx, sheet “to\\u202edo”: neither its name nor its header .*; name it broaches, bushings, ",
    ):
        read(tmp_path / "x.xlsx", data)


def test_an_empty_workbook_is_reported(tmp_path: Path) -> None:
    with pytest.raises(
        InputError, match=r"^x\.xlsx: it is empty; the first row of a sheet must name the columns$"
    ):
        read(tmp_path / "x.xlsx", by_hand({"Sheet1": []}))


def _doctype(inside: str, encoding: str = "utf-8") -> bytes:
    text = f'<?xml version="1.0" encoding="{encoding}"?><!DOCTYPE sst [{inside}]><sst {MAIN}><si><t>&x;</t></si></sst>'
    return packed({"xl/sharedStrings.xml": text.encode(encoding)})


def _lying_about_its_size() -> bytes:
    data = bytearray(packed({"xl/theme/theme1.xml": bytes(50_000_000)}))
    message, lie = struct.pack("<I", 50_000_000), struct.pack("<I", 100)
    return bytes(data.replace(message, lie))


def _one_bit_less(data: bytes) -> bytes:
    """The same with a bit turned in the middle of what is packed."""
    turned = bytearray(data)
    turned[data.find(b"xl/worksheets/sheet1.xml") + 300] ^= 0x10
    return bytes(turned)


HOSTILE: dict[str, tuple[Callable[[], bytes], str]] = {
    "nothing": (lambda: b"", "it is no .xlsx workbook, or it is cut short"),
    "text": (lambda: b"tag,thickness\n", "it is no .xlsx workbook, or it is cut short"),
    "an older workbook": (lambda: xlsx_door._OLDER + bytes(5000), "it is an older workbook or one with a password"),
    "another zip": (lambda: packed({}, book=_zip({"a.txt": b"a"})), "it is no .xlsx workbook, or it is cut short"),
    "cut short": (lambda: BOOK[: len(BOOK) * 2 // 3], "it is no .xlsx workbook, or it is cut short"),
    "a turned bit": (lambda: _one_bit_less(BOOK), "it is no .xlsx workbook, or it is cut short"),
    "macros": (lambda: packed({"xl/vbaProject.bin": b"\0"}), "it holds macros"),
    "a bomb": (lambda: packed({"xl/theme/theme1.xml": bytes(50_000_000)}), "to 50,0"),
    "a bomb that lies": (_lying_about_its_size, "it is no .xlsx workbook, or it is cut short"),
    "packed in another way": (lambda: packed({}, compress_type=zipfile.ZIP_LZMA), "packed in a way that no spreadsheet packs"),
    "two parts of one name": (lambda: packed({"XL/workbook.xml": b"<a/>"}), "it has parts of one name"),
    "too many parts": (lambda: packed({f"{n}.bin": b"" for n in range(1000)}), "over 1,000 parts"),
    "a missing sheet": (lambda: _without("xl/worksheets/sheet3.xml"), "it names 6 sheets and has 5"),
    "an entity of its own": (lambda: _doctype('<!ENTITY x "y">'), "it has a document type"),
    "an entity of another file": (lambda: _doctype('<!ENTITY x SYSTEM "file:///etc/passwd">'), "it has a document type"),
    "a document type in UTF-16": (lambda: _doctype("", "utf-16"), "it has a document type"),
    "a document type in a picture": (lambda: packed({"xl/media/a.png": b"<!DOCTYPE a><a/>"}), "it has a document type"),
    "no XML": (lambda: packed({"xl/styles.xml": b"<a><b></a>"}), "its part “xl/styles.xml”"),
    "a megabyte in a cell": (lambda: with_rows(f'<row><c t="inlineStr"><is><t>{"ab" * 500_000}</t></is></c></row>'), "a cell holds more than 32,767 characters"),
    "a megabyte in a mark": (lambda: with_rows(f'<row><c r="A1" x="{"ab" * 500_000}"/></row>'), "too long to be of a workbook"),
    "rows that are claimed": (lambda: with_rows("", '<dimension ref="A1:C1048576"/>'), "it has or claims more than 200,000 rows"),
    "a row far down": (lambda: with_rows('<row r="1048576"/>'), "it has or claims more than 200,000 rows"),
    "rows without number": (lambda: with_rows("<row/>" * 200_010), "it has or claims more than 200,000 rows"),
    "a column far out": (lambda: with_rows('<row><c r="XFD1"/></row>'), "cells beyond column 100"),
    "too many cells in a row": (lambda: with_rows(f"<row>{'<c/>' * 101}</row>"), "cells beyond column 100"),
    "rows that turn back": (lambda: with_rows('<row r="2"/><row r="1"/>'), "its rows are not in order"),
    "a cell of many pieces": (lambda: with_rows(f"<row><c><is>{'<r/>' * 1001}</is></c></row>"), "more than a workbook of pieces can"),
    "many other things": (lambda: with_rows("<a/>" * 200_001), "more than a workbook of pieces can"),
}  # fmt: skip


def _zip(parts: Mapping[str, bytes]) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        for name, data in parts.items():
            archive.writestr(name, data)
    return made.getvalue()


def _without(name: str) -> bytes:
    with zipfile.ZipFile(io.BytesIO(BOOK)) as archive:
        return _zip({each: archive.read(each) for each in archive.namelist() if each != name})


@pytest.mark.parametrize("case", HOSTILE)
def test_a_hostile_workbook_is_refused_in_one_line_before_it_is_read_in(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, case: str
) -> None:
    make, message = HOSTILE[case]
    if case != "a missing sheet":
        monkeypatch.setattr(xlsx_file, "_openpyxl", lambda: pytest.fail("it was read in"))

    with pytest.raises(InputError, match=r"^x\.xlsx: ") as caught:
        read(tmp_path / "x.xlsx", make())

    assert message in str(caught.value)
    assert str(caught.value).isprintable()


def test_a_locked_workbook_is_refused(tmp_path: Path) -> None:
    data = bytearray(BOOK)
    data[data.find(b"PK\x01\x02") + 8] |= 1

    with pytest.raises(InputError, match=r"^x\.xlsx: it is locked with a password; save it without one$"):
        read(tmp_path / "x.xlsx", bytes(data))


@pytest.mark.parametrize(
    "cell", ['<c t="s"><v>99</v></c>', '<c t="n"><v>abc</v></c>', '<c t="d"><v>never</v></c>']
)
def test_a_workbook_that_the_library_cannot_read_is_reported_in_one_line(tmp_path: Path, cell: str) -> None:
    with pytest.raises(
        InputError, match=r"^x\.xlsx, sheet shims, row 2: it cannot be read as \.xlsx; save it again"
    ):
        read(tmp_path / "x.xlsx", with_rows(f"{HEADER}<row>{cell}</row>"))


def test_a_character_that_no_workbook_holds_is_refused() -> None:
    with pytest.raises(InputError, match=r"the character U\+FFFF cannot be in a workbook: write CSV files"):
        as_book([("pins", [["a\uffff"]])])


@pytest.mark.parametrize("room", [1_000, 100_000])
def test_a_full_disk_is_reported_in_one_line_and_nothing_is_left(tmp_path: Path, room: int) -> None:
    records = [Record(piece=Shim(tag=f"S-{n}")) for n in range(1000)]
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (room, limits[1]))
    try:
        with pytest.raises(InputError, match=r"^“.*x\.xlsx” cannot be written: file too large$"):
            write_book(tmp_path / "x.xlsx", {Kind.SHIM: records})
        # What the library left open would complain now.
        gc.collect()
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)

    assert list(tmp_path.iterdir()) == []


def test_without_the_library_one_line_names_the_extra(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "openpyxl", None)

    for act in (lambda: read(tmp_path / "x.xlsx", BOOK), lambda: book_of([])):
        with pytest.raises(
            InputError, match=r"^workbooks need openpyxl, .*: pip install 'broachplan\[xlsx\]'"
        ):
            act()


def test_a_workbook_says_how_many_rows_it_has(tmp_path: Path) -> None:
    rows = [SHIMS, *([f"S-{n}"] for n in range(1200))]
    (tmp_path / "shims.xlsx").write_bytes(by_hand({"shims": rows}))
    message: list[int] = []

    (sheet,) = load_book(tmp_path / "shims.xlsx", "shims.xlsx")
    read_form(sheet, message.append)

    assert message == [500, 1000, 1201]


def test_a_workbook_is_well_formed_for_others_too() -> None:
    with zipfile.ZipFile(io.BytesIO(book_of([Record(piece=Shim(tag="S-1"), note="<&>'\"")]))) as archive:
        for name in archive.namelist():
            assert ElementTree.fromstring(archive.read(name)) is not None


@pytest.mark.nightly
def test_a_workbook_spoilt_anywhere_is_read_or_refused_in_one_line(tmp_path: Path) -> None:
    rng = random.Random(20310502)
    with zipfile.ZipFile(io.BytesIO(BOOK)) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    message: list[str] = []

    for _ in range(3000):
        name = rng.choice([*parts, *["xl/worksheets/sheet1.xml"] * 6])
        data = packed({name: spoilt(parts[name], rng)}) if rng.random() < 0.6 else spoilt(BOOK, rng)
        try:
            read(tmp_path / "x.xlsx", data)
        except InputError as error:
            message.append(str(error))

    assert all(line.isprintable() for line in message)
    assert 1000 < len(message) < 2990


def spoilt(data: bytes, rng: random.Random) -> bytes:
    """The same with a few bytes changed, lost, doubled, or replaced by characters with a meaning in a workbook."""
    left = bytearray(data)
    for _ in range(rng.choice((1, 1, 2, 5))):
        at, far = rng.randrange(len(left)), rng.randrange(1, 50)
        digits = [place for place in range(at, min(at + 200, len(left))) if chr(left[place]).isdigit()]
        match rng.randrange(5):
            case 0:
                left[at] = rng.randrange(256)
            case 1:
                del left[at : at + far]
            case 2:
                left[at:at] = left[at : at + far]
            case 3:
                left[at:at] = rng.choice(
                    (b'"', b"<", b'<row r="3"/>', b't="s"', b"<f>1</f>", b's="99"', b"<v>1e999</v>")
                )
            case _ if digits:
                left[rng.choice(digits)] = rng.choice(b"0123456789eE.-A")
    return bytes(left)
