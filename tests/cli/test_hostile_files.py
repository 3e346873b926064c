"""Hostile text in every field that is read from files, and files of the wrong kind."""

from __future__ import annotations

import io
import random
import re
from collections.abc import Iterator, Sequence
from pathlib import Path

import openpyxl
import pytest

from broachplan.errors import ExitCode
from broachplan.store.csv_columns import FILE_NAMES, all_columns, usual_columns
from broachplan.tooling.figures import Kind
from tests.cli.hostile import STRINGS, Terminal, five_hundred, in_order

PARTS = 8
_NOT_IN_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


def try_imports(at: Terminal, folder: Path, strings: Sequence[str], kinds: int) -> None:
    """Import files, and a workbook, with a row for each column of some kinds and each string, the hostile text in it."""
    # Those for which a whole file is refused are tried alone, else they would hide the others.
    alone = [each for each in strings if len(each) > 1000 or "\0" in each or not _can_be_written(each)]
    others = [each for each in strings if each not in alone]
    for lot in (*([each] for each in alone), *(others[at : at + 8] for at in range(0, len(others), 8))):
        for kind in Kind:
            (folder / FILE_NAMES[kind]).write_bytes(as_file(table(kind, lot, kinds)))
        (folder / "crib.xlsx").write_bytes(as_book(lot, kinds))
        for arguments in (["crib", "import", str(folder)], ["crib", "import", str(folder / "crib.xlsx")]):
            code, shown = at.run(*arguments)
            in_order(arguments, code, shown)
            # Each string is wrong in a tag or a figure at the least.
            assert code == ExitCode.BAD_INPUT
    for arguments in (["crib", "list"], ["crib", "list", "--json"], ["data", "check"]):
        in_order(arguments, *at.run(*arguments))


def _can_be_written(text: str) -> bool:
    return not any("\ud800" <= character <= "\udfff" for character in text)


def table(kind: Kind, strings: Sequence[str], kinds: int) -> Iterator[list[str]]:
    """A row for each string and column, with only the tag and the hostile text; a long text is in few columns.

    A string is in the tables of so many kinds.
    """
    columns = list(all_columns(kind))
    yield columns
    for place, string in enumerate(strings):
        if ([*Kind].index(kind) + place) % len(Kind) >= kinds:
            continue
        step = 1 if len(string) < 100_000 else 9
        for number in range(0, len(columns), step):
            row = dict.fromkeys(columns, "") | {"tag": f"{kind}-{place}-{number}"} | {columns[number]: string}
            yield [*row.values()]


def as_file(rows: Iterator[list[str]]) -> bytes:
    """The rows as a CSV file, whatever is in them: the library takes a second for a megabyte."""
    quoted = (",".join('"' + cell.replace('"', '""') + '"' if cell else "" for cell in row) for row in rows)
    return "\r\n".join(quoted).encode("utf-8", "surrogatepass")


def as_book(strings: Sequence[str], kinds: int) -> bytes:
    """A workbook with those tables; what XML cannot hold is written as workbooks write it."""
    book, written = openpyxl.Workbook(write_only=True), io.BytesIO()
    for kind in Kind:
        sheet = book.create_sheet(kind.plural)
        for row in table(kind, strings, kinds):
            sheet.append(
                [_NOT_IN_XML.sub(lambda found: f"_x{ord(found.group()):04X}_", cell) for cell in row]
            )
    book.save(written)
    return written.getvalue()


def try_tags(at: Terminal, folder: Path, strings: Sequence[str]) -> None:
    """Count a drawer with the texts in a file, and typed or scanned at the terminal."""
    file = folder / "tags.txt"
    for lot in (strings[at : at + 8] for at in range(0, len(strings), 8)):
        file.write_bytes("\n".join(lot).encode("utf-8", "surrogatepass"))
        from_file = ["crib", "count", "A/1", "--from", str(file)]
        in_order(from_file, *at.run(*from_file))
        typed = [text[:1000] for text in lot]
        in_order(typed, *at.run("crib", "count", "A/1", typed=[*typed, ""]))
    counts = ["crib", "counts", "1"]
    in_order(counts, *at.run(*counts))


def test_hostile_text_in_any_field_of_an_import_is_refused_or_shown_as_plain_text(
    at: Terminal, tmp_path: Path
) -> None:
    try_imports(at, tmp_path, STRINGS, 1)


def test_hostile_text_for_a_tag_that_was_counted_is_refused_or_shown_as_plain_text(
    at: Terminal, tmp_path: Path
) -> None:
    try_tags(at, tmp_path, STRINGS)


@pytest.mark.nightly
@pytest.mark.parametrize("part", range(PARTS))
def test_five_hundred_hostile_strings_in_every_field(at: Terminal, tmp_path: Path, part: int) -> None:
    strings = five_hundred()[part::PARTS]

    try_imports(at, tmp_path, strings, len(Kind))
    try_tags(at, tmp_path, strings)


WHOLE = ",".join(usual_columns(Kind.SHIM)) + "\nS-9,0.05 in,0.25 in,,,,,\n"
FILES = {
    "empty": b"",
    "a mark alone": b"\xef\xbb\xbf",
    "one line end": b"\n",
    "UTF-16": WHOLE.encode("utf-16"),
    "UTF-32": WHOLE.encode("utf-32"),
    "Latin-1": WHOLE.replace("S-9", "S-\xe9").encode("latin-1"),
    "Shift JIS": WHOLE.replace("S-9", "\u5de5\u5177").encode("shift_jis"),
    "EBCDIC": WHOLE.encode("cp500"),
    "overlong": WHOLE.encode().replace(b"S-9", b"\xc0\xaf"),
    "a surrogate": WHOLE.encode().replace(b"S-9", b"\xed\xa0\x80"),
    "cut in a quote": WHOLE.replace("S-9", '"S-9').encode(),
    "cut in a header": WHOLE[:20].encode(),
    "cut in a character": WHOLE.encode() + b"S-\xc3",
    "NUL": WHOLE.encode() + b"\0" * 100,
    "a picture": b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + bytes(range(256)),
    "a spreadsheet": b"PK\x03\x04\x14\x00\x06\x00" + bytes(range(256)),
    "noise": random.Random(2031).randbytes(20_000),
    "noise of letters": random.Random(2031).randbytes(20_000).hex().encode(),
    "one endless line": b"x" * 5_000_000,
    "quotes": b'"' * 100_000,
    "commas": b"," * 100_000,
}


@pytest.mark.parametrize("name", ["shims.csv", "whatever.dat"])
def test_a_file_that_is_no_table_of_pieces_is_refused(at: Terminal, home: Path, name: str) -> None:
    for content in FILES.values():
        (home / name).write_bytes(content)
        arguments = ["crib", "import", name]

        code, shown = at.run(*arguments)

        in_order(arguments, code, shown)
        assert code == ExitCode.BAD_INPUT
        assert name in shown


def test_a_file_over_20_mb_is_refused_before_it_is_read(at: Terminal, home: Path) -> None:
    with (home / "shims.csv").open("wb") as file:
        file.truncate(10**12)

    code, shown = at.run("crib", "import", "shims.csv")

    assert code == ExitCode.BAD_INPUT
    assert "it has 1,000,000,000,000 bytes; the limit is 20,000,000 bytes" in shown
