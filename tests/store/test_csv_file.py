"""Files that are not what they should be, and cells that nobody typed in good faith."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from broachplan.crib.words import hidden
from broachplan.errors import InputError
from broachplan.store import csv_file
from broachplan.store.csv_file import CsvText, load, rows

UTF8 = "save it from the spreadsheet as CSV UTF-8"


def read(content: str) -> list[tuple[int, list[str], str]]:
    return [(row.number, row.cells, row.problem) for row in rows(CsvText("x.csv", content))]


@pytest.mark.parametrize(
    ("content", "message"),
    [
        ("tag\nß".encode("latin-1"), f"x.csv, row 2: it is not UTF-8 text; {UTF8}"),
        ("tag\n".encode("utf-16"), f"x.csv: it is UTF-16 text; {UTF8}"),
        ("tag\n".encode("utf-16-le"), f"x.csv: it is UTF-16 text; {UTF8}"),
        ("tag\n".encode("utf-16-be"), f"x.csv: it is UTF-16 text; {UTF8}"),
        (b"tag\n\0", f"x.csv: it is not text (it holds NUL bytes); {UTF8}"),
        (b"PK\x03\x04\x14\0\0\0", f"x.csv: it is not text (it holds NUL bytes); {UTF8}"),
        (bytes(range(128, 256)), f"x.csv, row 1: it is not UTF-8 text; {UTF8}"),
    ],
)
def test_a_file_that_is_not_utf8_is_reported_in_one_line(
    tmp_path: Path, content: bytes, message: str
) -> None:
    path = tmp_path / "x.csv"
    path.write_bytes(content)

    with pytest.raises(InputError, match=r"^x\.csv") as caught:
        load(path, "x.csv")

    assert str(caught.value) == message


def test_a_byte_order_mark_is_no_part_of_the_first_cell(tmp_path: Path) -> None:
    path = tmp_path / "x.csv"
    path.write_bytes(b"\xef\xbb\xbftag\n")

    assert load(path, "x.csv").text == "tag\n"


def test_an_endless_or_missing_file_is_reported_and_not_opened(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    os.mkfifo(tmp_path / "pipe.csv")
    (tmp_path / "device.csv").symlink_to("/dev/zero")
    (tmp_path / "folder.csv").mkdir()
    (tmp_path / "circle.csv").symlink_to("circle.csv")
    monkeypatch.setattr(os, "open", lambda *_: pytest.fail("it was opened"))

    for name in ("pipe.csv", "device.csv", "folder.csv"):
        with pytest.raises(InputError, match=f"^{name}: it is not a file$"):
            load(tmp_path / name, name)
    for name in ("none.csv", "circle.csv"):
        with pytest.raises(InputError, match=f"^{name}: there is no such file$"):
            load(tmp_path / name, name)


def test_a_pipe_that_took_the_place_of_a_file_meanwhile_is_not_waited_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    os.mkfifo(tmp_path / "x.csv")
    monkeypatch.setattr(Path, "is_file", lambda _: True)

    with pytest.raises(InputError, match=r"^x\.csv: it is not a file$"):
        load(tmp_path / "x.csv", "x.csv")


def test_a_file_larger_than_any_memory_is_refused_by_its_size_alone(tmp_path: Path) -> None:
    path = tmp_path / "x.csv"
    with path.open("wb") as file:
        file.truncate(10**12)

    with pytest.raises(InputError, match=r"it has 1,000,000,000,000 bytes; the limit is 20,000,000 bytes"):
        load(path, "x.csv")


def test_a_file_without_a_size_is_read_no_further_than_the_limit(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "x.csv"
    path.write_bytes(b"a" * 11)
    monkeypatch.setattr(csv_file, "MOST_BYTES", 10)
    monkeypatch.setattr(os, "fstat", lambda _: os.stat_result((0o100644, *[0] * 9)))

    with pytest.raises(InputError, match=r"^x\.csv: it has more than 10 bytes, the limit$"):
        load(path, "x.csv")


@pytest.mark.parametrize("end", [b"\n", b"\r", b"\r\n"])
def test_a_file_with_too_many_rows_is_refused(tmp_path: Path, end: bytes) -> None:
    path = tmp_path / "x.csv"
    path.write_bytes(b"a" + end * (csv_file.MOST_ROWS + 2))

    with pytest.raises(InputError, match=r"it has more than 200,000 rows; split it"):
        load(path, "x.csv")


def test_rows_have_the_numbers_a_spreadsheet_shows() -> None:
    assert read("a,b\n\n , \n1,2\r\n3,4") == [(1, ["a", "b"], ""), (4, ["1", "2"], ""), (5, ["3", "4"], "")]


def test_quotes_keep_commas_and_inch_marks_need_none() -> None:
    assert read('"a,b", 5/8" ,"0.5"""\n') == [(1, ["a,b", '5/8"', '0.5"'], "")]


@pytest.mark.parametrize(
    ("content", "message"),
    [
        ('a\n"b\nc\n', "a quoted cell that begins in this row is never closed; close it with a double quote"),
        (
            'a\n"b"c\n',
            "a quoted cell continues after its closing quote; double every quote inside a quoted cell",
        ),
        (f"a\n{'b' * 140_000}\n", "a cell is too long, or a quote is never closed; at most 200 characters"),
    ],
)
def test_rows_that_are_no_csv_are_reported_by_number(content: str, message: str) -> None:
    assert (2, [], message) in read(content)


def test_rows_after_one_that_is_no_csv_are_read() -> None:
    assert [(number, bool(problem)) for number, _, problem in read('a\n"b"c\nd\n"e"f\n')] == [
        (1, False),
        (2, True),
        (3, False),
        (4, True),
    ]


@pytest.mark.parametrize(
    "sign",
    ["\x00", "\x07", "\x1b", "\n", "\t", "\x7f", "\x85", "\xad", "\u200b", "\u200d", "\u200e", "\u202e", "\u2028", "\u2066", "\u2069", "\ufeff", "\u3164", "\u115f", "\ufe0f", "\ue000", "\U000e0041", "\ud800", "\uffff"],
)  # fmt: skip
def test_a_character_that_nobody_sees_is_refused_by_its_number(sign: str) -> None:
    assert hidden(f"a{sign}b").endswith(f"; the character U+{ord(sign):04X} must not be in it")
    assert all(shown.isprintable() for shown in hidden(f"a{sign}b"))


@pytest.mark.parametrize(
    "cell", ["", "1-1/4 in", "⅝ in", "30\u00a0mm", "Ø 30", "schönes Stück", "棚 4", "naïve ✓", "=1+1"]
)
def test_what_people_write_is_let_through(cell: str) -> None:
    assert hidden(cell) == ""
