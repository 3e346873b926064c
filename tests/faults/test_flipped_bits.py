"""One bit of the crib's file is flipped, as a failing disk does it: a command does its work or says that the file is damaged."""

from __future__ import annotations

import random
import shutil
import sqlite3
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import closing, suppress
from functools import cache
from pathlib import Path

import pytest

from broachplan.cli import app as frame
from broachplan.errors import ExitCode
from broachplan.store.backup import read_backup
from broachplan.store.whole_file import COMPANIONS
from tests import ground
from tests.faults.acts import CRIB, KEPT, OTHER, Tried, Words, begin, on_a_crib

# What SQLite itself says of the file, at its beginning.
HEADER = 100
Files = Mapping[str, bytes]
Go = Callable[[Words], tuple[int, str, str]]
# What is the same for every test.
_STARTS: dict[tuple[Words, ...], Files] = {}


@pytest.fixture
def here() -> Path:
    """The folder of the crib."""
    return ground.emptied("flipped")


@pytest.fixture
def go(here: Path, capsys: pytest.CaptureFixture[str]) -> Go:
    """Run a command on the crib in `here`: its exit code, and what it printed on stdout and on stderr."""

    def _go(words: Words) -> tuple[int, str, str]:
        line = [word.replace("{here}", str(here)) for word in words]
        code = frame.run([*line, "--db", str(here / CRIB)])
        return int(code), *capsys.readouterr()

    return _go


@pytest.fixture
def start(here: Path, go: Go) -> Callable[[tuple[Words, ...]], Files]:
    """What is in the folder after some commands."""

    def _start(before: tuple[Words, ...]) -> Files:
        if before not in _STARTS:
            # Many begin alike: each begins where all its commands but the last have led.
            if before:
                put(here, _start(before[:-1]))
                code, _, err = go(before[-1])
                assert code in (ExitCode.DONE, ExitCode.NO), err
            else:
                put(here, {})
                begin(here)
            _STARTS[before] = files(here)
        return _STARTS[before]

    return _start


def put(here: Path, wanted: Files) -> None:
    """Leave nothing in a folder but some files."""
    for path in here.iterdir():
        shutil.rmtree(path) if path.is_dir() else path.unlink()
    for name, data in wanted.items():
        (here / name).parent.mkdir(exist_ok=True)
        (here / name).write_bytes(data)


def files(here: Path) -> dict[str, bytes]:
    """Every file in a folder."""
    return {str(path.relative_to(here)): path.read_bytes() for path in here.rglob("*") if path.is_file()}


def flipped(data: bytes, place: int) -> bytes:
    """``data`` with another bit at a place, counted in bits."""
    changed = bytearray(data)
    changed[place // 8] ^= 1 << place % 8
    return bytes(changed)


@cache
def parts(data: bytes) -> tuple[Sequence[int], ...]:
    """The header, the words of the schema, what is not empty (twice, for it is the most), and all of a crib's file."""
    with closing(sqlite3.connect(":memory:")) as connection:
        connection.deserialize(data)
        schema = [sql.encode() for (sql,) in connection.execute("SELECT sql FROM sqlite_master") if sql]
    words = [range(at, at + len(sql)) for sql in schema if (at := data.find(sql)) > 0]
    used = [each for each, byte in enumerate(data) if byte]
    return range(HEADER), [each for sql in words for each in sql], used, used, range(len(data))


def place_in(data: bytes, number: int, chance: random.Random) -> int:
    """A bit in one of the parts, in turn."""
    where = parts(data)[number % 5]
    return 8 * chance.choice(where) + chance.randrange(8)


def is_sound(data: bytes) -> bool:
    """Whether SQLite finds nothing wrong: what was flipped is then a figure or a word that may be there as well."""
    with closing(sqlite3.connect(":memory:")) as connection, suppress(sqlite3.Error, UnicodeDecodeError):
        connection.deserialize(data)
        return connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    return False


def by_turns(number: int) -> list[Tried]:
    """Each command that works on a crib once: where it takes ``--json``, with it at odd numbers."""
    ways: dict[Words, list[Tried]] = {}
    for each in on_a_crib():
        ways.setdefault(tuple(word for word in each.words if word != "--json"), []).append(each)
    return [alike[number % len(alike)] for alike in ways.values()]


def try_all(
    here: Path, go: Go, start: Callable[[tuple[Words, ...]], Files], tried: Iterable[Tried], number: int
) -> int:
    """Flip a bit for each command tried, and look at what it answers and leaves; how many found the crib damaged."""
    refused = 0
    for each in tried:
        sound = start(each.before)
        chance = random.Random(f"{' '.join(each.words)} {number}")
        place = place_in(sound[CRIB], number, chance)
        before = {**sound, CRIB: flipped(sound[CRIB], place)}
        put(here, before)

        code, out, err = go(each.words)

        what = f"bit {place}, {' '.join(each.words)}: {code} {out} {err}"
        assert "Traceback" not in out + err, what
        if each.words[:2] == ("data", "restore"):
            assert code == ExitCode.DONE, what
            assert holds(here, before), what
        elif code in (ExitCode.BAD_INPUT, ExitCode.STATE):
            # Another tag or another day than before, say, which nothing in the file contradicts.
            assert is_sound(before[CRIB]), what
        else:
            assert code in (ExitCode.DONE, ExitCode.NO, ExitCode.STORAGE), what
        left = files(here)
        if each.words[:2] == ("data", "backup") and KEPT in left:
            # Of a crib that fails its check too, and then that is said.
            assert read_backup(here / KEPT).content, what
            del left[KEPT]
        if code not in (ExitCode.DONE, ExitCode.NO):
            assert left == before, what
        assert not any(name.endswith(COMPANIONS) or "/.broachplan-" in f"/{name}" for name in files(here)), (
            what
        )
        refused += code == ExitCode.STORAGE
    return refused


def holds(here: Path, before: Files) -> bool:
    """Whether the crib is what the backup holds, and the damaged one lies beside it as it was."""
    now = files(here)
    kept = [data for name, data in now.items() if name not in before]
    return kept == [before[CRIB]] and now[CRIB] == read_backup(here / OTHER).content


@pytest.mark.parametrize("number", range(5))
def test_a_flipped_bit_is_no_fault_of_the_program_and_no_command_makes_it_worse(
    here: Path, go: Go, start: Callable[[tuple[Words, ...]], Files], number: int
) -> None:
    refused = try_all(here, go, start, by_turns(number), number)

    assert refused or number % 5 > 1, "no command read the header or the schema"


@pytest.mark.nightly
@pytest.mark.parametrize("number", range(5, 205))
def test_a_flipped_bit_anywhere_is_no_fault_of_the_program(
    here: Path, go: Go, start: Callable[[tuple[Words, ...]], Files], number: int
) -> None:
    try_all(here, go, start, on_a_crib(), number)


def test_one_bit_in_the_words_of_the_schema_leaves_a_crib_that_can_be_restored(
    here: Path, go: Go, start: Callable[[tuple[Words, ...]], Files]
) -> None:
    for each in on_a_crib():
        sound = start(each.before)
        # The byte is no letter any more, and SQLite repeats it in the message about what it cannot read.
        table = sound[CRIB].index(b"CREATE TABLE shim (")
        place = 8 * sound[CRIB].index(b"NOT NULL", table) + 7
        before = {**sound, CRIB: flipped(sound[CRIB], place)}
        put(here, before)

        code, out, err = go(each.words)

        if each.words[:2] == ("data", "restore"):
            assert (code, err) == (ExitCode.DONE, "")
            assert holds(here, before)
        else:
            assert (code, out, err.count("\n")) == (ExitCode.STORAGE, "", 1), each
            assert "is damaged: “malformed database schema (shim)" in err
            assert files(here) == before
