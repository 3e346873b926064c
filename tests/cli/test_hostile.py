"""Hostile text in every option, every field of an import and every name in the crib, at a real pseudo-terminal."""

from __future__ import annotations

import csv
import os
import pty
import random
import sqlite3
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
import typer.main

from broachplan.cli.app import app
from broachplan.errors import ExitCode
from broachplan.store.csv_form import FILE_NAMES, needed_columns, optional_columns
from broachplan.tooling.figures import Kind
from tests.cli.hostile import STRINGS, Terminal, foreign, in_order, many, terminal
from tests.store.cribs import fill, small_crib

# What a command needs beside the option that is tried.
NEEDED = {
    "bore": "1 in +0.001 -0",
    "hub_length": "1 in",
    "key": "1/4 in",
    "shaft": "1 in",
    "tag": "S-1",
    "name": "units",
    "value": "mm",
    "paths": "shims.csv",
    "folder": "out",
    "file": "some.backup",
}
ALWAYS = ("plan", "key")


@pytest.fixture
def crib(home: Path) -> Path:
    """A crib with one piece of each kind."""
    fill(str(home / "crib.db"), small_crib())
    return home / "crib.db"


@pytest.fixture
def at(crib: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Terminal]:
    """A terminal, and BROACHPLAN_DB naming the crib."""
    monkeypatch.setenv("BROACHPLAN_DB", str(crib))
    with terminal(monkeypatch) as made:
        yield made


def options() -> list[tuple[tuple[str, ...], str, list[str]]]:
    """Each command's words, each of its text options or arguments, and a command line with ``{}`` in its place."""
    found = []
    for words, command in _commands(typer.main.get_command(app), ()):
        parameters = [each for each in command.params if not getattr(each, "is_flag", False)]
        for tried in parameters:
            line = [*words]
            for each in parameters:
                if each is tried or each.required or each.name in ("key",):
                    value = "{}" if each is tried else NEEDED.get(str(each.name), "x")
                    line += [f"{each.opts[0]}={value}"] if each.opts[0].startswith("-") else [value]
            found.append((words, str(tried.name), line))
    return found


def _commands(command: object, words: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], Any]]:
    inside = getattr(command, "commands", None)
    if inside is None:
        yield words, command
        return
    for name, sub in inside.items():
        yield from _commands(sub, (*words, name))


def try_options(at: Terminal, strings: Sequence[str], every: int) -> int:
    """Give each option of plan and key one hostile string of ``every``, and each other one of five times as many."""
    # A command line holds neither NUL nor half of a pair of surrogates.
    typed = [string for string in strings if "\0" not in string and "\ud800" not in string]
    runs = 0
    for place, (words, _, line) in enumerate(options()):
        share = every if words[0] in ALWAYS else 5 * every
        for string in typed[place % share :: share]:
            arguments = [word.replace("{}", string) for word in line]
            in_order(arguments, *at.run(*arguments))
            runs += 1
    return runs


def try_imports(at: Terminal, folder: Path, strings: Sequence[str]) -> None:
    """Import files of each kind with a row for each column and string, and the hostile text in it."""
    # Those for which a whole file is refused stand alone, else they would hide the others.
    alone = [each for each in strings if len(each) > 1000 or "\0" in each or not _can_be_written(each)]
    others = [each for each in strings if each not in alone]
    for lot in (*([each] for each in alone), *(others[at : at + 8] for at in range(0, len(others), 8))):
        for kind in Kind:
            write_rows(folder / FILE_NAMES[kind], kind, lot)
        arguments = ["crib", "import", str(folder)]
        code, told = at.run(*arguments)
        in_order(arguments, code, told)
        # Each string is wrong in a tag or a figure at the least.
        assert code == ExitCode.BAD_INPUT
    for arguments in (["crib", "list"], ["crib", "list", "--json"], ["data", "check"]):
        in_order(arguments, *at.run(*arguments))


def _can_be_written(text: str) -> bool:
    return not any("\ud800" <= character <= "\udfff" for character in text)


def write_rows(file: Path, kind: Kind, strings: Sequence[str]) -> None:
    """A row for each string and column, empty but for the tag and the hostile text."""
    columns = [*needed_columns(kind), *optional_columns(kind)]
    with file.open("w", encoding="utf-8", errors="surrogatepass", newline="") as opened:
        writer = csv.writer(opened)
        writer.writerow(columns)
        for place, string in enumerate(strings):
            for number, column in enumerate(columns):
                tag = {"tag": f"{kind}-{place}-{number}"}
                writer.writerow((dict.fromkeys(columns, "") | tag | {column: string}).values())


SPOILT = ("home", "set_name", "note", "measured_with", "measured_by")
PLAN = ["plan", "--bore=1 in +0.001 -0", "--hub-length=1 in", "--key=1/4 in"]
SHOWN = (
    ["crib", "list"],
    ["crib", "show", "S-1"],
    [*PLAN, "--why=all"],
    [*PLAN, "--on=2031-05-02", "--json"],
)


def try_names(at: Terminal, crib: Path, strings: Sequence[str], turns: int) -> None:
    """Put the text behind the program's back into every name of the crib, each in ``turns`` of the places."""
    sound, places = crib.read_bytes(), len(SPOILT) + 3
    for turn in range(turns):
        for start in range(0, len(strings), places):
            lot = [strings[(start + turn + number) % len(strings)] for number in range(places)]
            crib.write_bytes(sound)
            spoil(crib, lot[turn:] + lot[:turn])
            for arguments in SHOWN:
                in_order(arguments, *at.run(*arguments))
            spoil_tag(crib, lot[turn - 1])
            for arguments in (["crib", "list"], ["data", "check"]):
                in_order(arguments, *at.run(*arguments))
    crib.write_bytes(sound)


def spoil(crib: Path, strings: Sequence[str]) -> None:
    """Write one text a place; the database itself holds none of over 200 characters and none that is empty."""
    texts = [(string[:200] or "x").encode("utf-8", "surrogatepass") for string in strings]
    with closing(sqlite3.connect(crib)) as connection, connection:
        for column, text in zip(SPOILT, texts, strict=False):
            connection.execute(f"UPDATE piece SET {column} = CAST(? AS TEXT)", (text,))
        some = "SELECT id, CAST(? AS TEXT), '2031-05-02' FROM piece WHERE tag IN"
        # NUL ends a text for SQLite, whose rules then find none.
        connection.execute("PRAGMA ignore_check_constraints = ON")
        for pieces in ("('B-250')", "('S-1')"):
            connection.execute(f"INSERT INTO loan (piece_id, to_name, since) {some} {pieces}", (texts[-3],))
        connection.execute(f"INSERT INTO hold (piece_id, for_what, day) {some} ('G-1000')", (texts[-2],))


def spoil_tag(crib: Path, string: str) -> None:
    """Write the text over a tag."""
    with closing(sqlite3.connect(crib)) as connection, connection:
        connection.execute("PRAGMA ignore_check_constraints = ON")
        text = string[:40].encode("utf-8", "surrogatepass")
        connection.execute("UPDATE piece SET tag = CAST(? AS TEXT) WHERE tag = 'R-1'", (text,))


def test_hostile_text_in_any_option_of_any_command_is_refused_or_shown_as_plain_text(at: Terminal) -> None:
    assert try_options(at, STRINGS, 8) > 100


def test_hostile_text_in_any_field_of_an_import_is_refused_or_shown_as_plain_text(
    at: Terminal, home: Path
) -> None:
    folder = home / "files"
    folder.mkdir()

    try_imports(at, folder, STRINGS)


def test_hostile_names_in_the_crib_are_shown_as_plain_text(at: Terminal, crib: Path) -> None:
    try_names(at, crib, STRINGS, 1)


@pytest.mark.nightly
def test_five_hundred_hostile_strings_everywhere(at: Terminal, home: Path, crib: Path) -> None:
    strings, folder = [*STRINGS, *many(500 - len(STRINGS))], home / "files"
    folder.mkdir()

    # Last the options, for some of the commands lend and retire.
    try_names(at, crib, strings, 8)
    try_imports(at, folder, strings)
    try_options(at, strings, 1)


WHOLE = ",".join(needed_columns(Kind.SHIM)) + "\nS-9,0.05 in,0.25 in,,,,,\n"
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
@pytest.mark.parametrize("content", FILES.values(), ids=FILES)
def test_a_file_that_is_no_table_of_pieces_is_refused(
    at: Terminal, home: Path, content: bytes, name: str
) -> None:
    (home / name).write_bytes(content)
    arguments = ["crib", "import", name]

    code, told = at.run(*arguments)

    in_order(arguments, code, told)
    assert code == ExitCode.BAD_INPUT
    assert name in told


def test_a_file_over_20_mb_is_refused_before_it_is_read(at: Terminal, home: Path) -> None:
    with (home / "shims.csv").open("wb") as file:
        file.truncate(10**12)

    code, told = at.run("crib", "import", "shims.csv")

    assert code == ExitCode.BAD_INPUT
    assert "it has 1,000,000,000,000 bytes; at most 20,000,000 are read" in told


def test_a_command_of_its_own_sends_a_real_terminal_no_foreign_byte(crib: Path) -> None:
    spoil(crib, ["\x1b]0;mine\x07\x1b[2J\u202eback"] * 8)
    master, slave = pty.openpty()
    command = [sys.executable, "-m", "broachplan", "crib", "list", "--db", str(crib)]
    process = subprocess.Popen(command, stdin=slave, stdout=slave, stderr=slave, start_new_session=True)
    os.close(slave)

    came = bytearray()
    while more := _more(master):
        came += more
    os.close(master)

    told = came.decode().replace("\r\n", "\n")
    assert process.wait(timeout=60) in (0, ExitCode.STORAGE)
    assert told
    assert foreign(told) == []


def _more(master: int) -> bytes:
    try:
        return os.read(master, 65536)
    except OSError:
        # So Linux tells that nobody holds the other end.
        return b""


def test_a_tag_of_bytes_that_are_no_text_is_refused_and_not_a_fault_of_ours(at: Terminal) -> None:
    code, told = at.run("crib", "show", "S-\udcff")

    assert code == ExitCode.BAD_INPUT
    assert "read “S-\\udcff”; it holds bytes that are no character" in told


@pytest.mark.parametrize(
    "words", [["data", "check"], ["data", "backup", "x"], ["data", "upgrade"], ["crib", "list"]]
)
def test_a_crib_of_a_name_too_long_for_the_system_is_told(at: Terminal, words: list[str]) -> None:
    code, told = at.run(*words, "--db", "x" * 300)

    assert code == ExitCode.STORAGE
    assert "cannot be opened: file name too long" in told
