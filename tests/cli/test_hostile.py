"""Hostile text in every option of every command and in every name in the crib, at a real pseudo-terminal."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest

from broachplan.errors import ExitCode
from tests.cli.hostile import STRINGS, Terminal, five_hundred, foreign, in_order
from tests.cli.lines import SHARED, Line, lines
from tests.cli.spoilt import PLACES, spoil, spoilt_in_turn
from tests.faults.acts import BUSY, READS, Words

PARTS = 8
SHOWN = (
    *READS.values(),
    ("crib", "list", "--json"),
    ("plan", *READS["plan"][1:], "--why", "all", "--on", "2031-05-28"),
    ("crib", "export", "out"),
    ("run", "show", "1", "--json"),
    ("run", "export", "records", "--overwrite"),
    ("crib", "labels", "labels.pdf", "--overwrite"),
)


def busy(at: Terminal) -> None:
    """Do some work in the crib, so that every command has something to show."""
    for words in BUSY:
        code, shown = at.run(*words)
        assert code in (ExitCode.DONE, ExitCode.NO), shown


def try_options(at: Terminal, crib: Path, strings: Sequence[str], tried: Sequence[Line], each: int) -> int:
    """Give each line ``each`` of the hostile strings, in turn, and each time the crib as it was."""
    # A command line does not hold half of a pair of surrogates; NUL comes from callers of our own.
    texts = [string for string in strings if "\ud800" not in string]
    sound, runs = crib.read_bytes(), 0
    cribs: dict[tuple[Words, ...], bytes] = {(): sound}
    for place, line in enumerate(tried):
        for done in range(len(line.before)):
            before, after = line.before[:done], line.before[: done + 1]
            if after not in cribs:
                crib.write_bytes(cribs[before])
                at.run(*after[-1])
                cribs[after] = crib.read_bytes()
        # What every command reads in one place gets each string once, over all of them.
        count = -(-each // 40) if line.tried in SHARED else each
        for number in range(count):
            crib.write_bytes(cribs[line.before])
            arguments = line.filled(texts[(place * count + number) % len(texts)], crib.parent)
            in_order(arguments, *at.run(*arguments))
            runs += 1
    crib.write_bytes(sound)
    return runs


def try_names(at: Terminal, crib: Path, strings: Sequence[str], turns: Sequence[int]) -> None:
    """Put the text behind the program's back into every name of the crib, each in as many of the places as turns."""
    busy(at)
    sound = crib.read_bytes()
    for turn in turns:
        for start in range(0, len(strings), PLACES):
            crib.write_bytes(sound)
            spoil(crib, [strings[(start + turn + number) % len(strings)] for number in range(PLACES)])
            for arguments in SHOWN:
                in_order(arguments, *at.run(*arguments))
    crib.write_bytes(sound)


def try_other_places(at: Terminal, crib: Path, strings: Sequence[str], commands: int) -> None:
    """Put the text behind the program's back into what people do not choose the words of, and run some commands in turn."""
    sound = crib.read_bytes()
    busy(at)
    for place in spoilt_in_turn(crib, strings):
        for number in range(commands):
            arguments = SHOWN[(place * commands + number) % len(SHOWN)]
            in_order(arguments, *at.run(*arguments))
    crib.write_bytes(sound)


def test_hostile_text_in_any_option_of_any_command_is_refused_or_shown_as_plain_text(
    at: Terminal, hostile_crib: Path
) -> None:
    assert try_options(at, hostile_crib, STRINGS, lines(), 1) > 200


def test_hostile_names_in_the_crib_are_shown_as_plain_text(at: Terminal, hostile_crib: Path) -> None:
    try_names(at, hostile_crib, STRINGS, [0])


def test_hostile_text_anywhere_else_in_the_crib_is_shown_as_plain_text(
    at: Terminal, hostile_crib: Path
) -> None:
    try_other_places(at, hostile_crib, STRINGS, 3)


@pytest.mark.nightly
@pytest.mark.parametrize("part", range(PARTS))
def test_five_hundred_hostile_strings_in_every_option(at: Terminal, hostile_crib: Path, part: int) -> None:
    strings = five_hundred()

    try_options(at, hostile_crib, strings, lines()[part::PARTS], len(strings))


@pytest.mark.nightly
@pytest.mark.parametrize("turn", range(PLACES))
def test_five_hundred_hostile_strings_in_every_name(at: Terminal, hostile_crib: Path, turn: int) -> None:
    try_names(at, hostile_crib, five_hundred(), [turn])


@pytest.mark.nightly
@pytest.mark.parametrize("part", range(PARTS))
def test_hostile_strings_anywhere_else(at: Terminal, hostile_crib: Path, part: int) -> None:
    strings = five_hundred()
    for start in range(part, len(strings), 40 * PARTS):
        try_other_places(at, hostile_crib, strings[start:] + strings[:start], len(SHOWN))


def test_a_command_of_its_own_sends_a_real_terminal_no_foreign_byte(hostile_crib: Path) -> None:
    spoil(hostile_crib, ["\x1b]0;mine\x07\x1b[2J\u202eback"] * PLACES)
    master, slave = pty.openpty()
    command = [sys.executable, "-m", "broachplan", "crib", "list", "--db", str(hostile_crib)]
    process = subprocess.Popen(command, stdin=slave, stdout=slave, stderr=slave, start_new_session=True)
    os.close(slave)

    came = bytearray()
    while more := _more(master):
        came += more
    os.close(master)

    shown = came.decode().replace("\r\n", "\n")
    assert process.wait(timeout=60) in (0, ExitCode.STORAGE)
    assert shown
    assert foreign(shown) == []


def _more(master: int) -> bytes:
    try:
        return os.read(master, 65536)
    except OSError:
        # Linux's way of saying that nobody holds the other end.
        return b""


def test_a_tag_of_bytes_that_are_no_text_is_refused_and_not_a_fault_of_ours(at: Terminal) -> None:
    code, shown = at.run("crib", "show", "S-\udcff")

    assert code == ExitCode.BAD_INPUT
    assert "read “S-\\udcff”; it holds bytes that are no character" in shown


@pytest.mark.parametrize(
    "words", [["data", "check"], ["data", "backup", "x"], ["data", "upgrade"], ["crib", "list"]]
)
def test_a_crib_with_a_name_too_long_for_the_system_is_reported(at: Terminal, words: list[str]) -> None:
    code, shown = at.run(*words, "--db", "x" * 300)

    assert code == ExitCode.STORAGE
    assert "cannot be opened: file name too long" in shown
