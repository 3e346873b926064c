"""What a damaged crib makes of a command is reported as damage, whatever part of the program stumbles over it."""

from __future__ import annotations

import sqlite3
import sys
from contextlib import closing
from pathlib import Path
from types import SimpleNamespace

import pytest

from broachplan.errors import ExitCode
from tests.cli.conftest import Run
from tests.databases import execute
from tests.desks.looking import list_pieces
from tests.store.cribs import fill, small_crib

HUB = ("--bore", "1 in +0.001 -0", "--hub-length", "1 in", "--key", "1/4 in")
# How SQLite begins the row of a piece: no number of its own, then what each column is, 13 + 2n for a text of n letters.
BROACH = bytes(
    [0, 13 + 2 * len("B-250"), 13 + 2 * len("broach"), 13 + 2 * len("inch set"), 13 + 2 * len("drawer 4")]
)
# The row of a shim: its thickness and its width are numbers of three bytes each, its length one of four.
SHIM = bytes([0, 3, 3, 4]) + (1_270_000).to_bytes(3, "big")

# The broach in the index of tags: the tag, and the number of its row, which is 1.
IN_THE_INDEX = bytes([3, 13 + 2 * len("B-250"), 9]) + b"B-250"


@pytest.fixture
def crib(home: Path) -> Path:
    """A small crib in the user's folder."""
    fill(str(home / "crib.db"), small_crib())
    return home / "crib.db"


def flip(crib: Path, row: bytes, place: int, bit: int) -> None:
    """Flip one bit of a row that is in the file once."""
    data = bytearray(crib.read_bytes())
    assert data.count(row) == 1
    data[data.index(row) + place] ^= bit
    crib.write_bytes(data)


@pytest.mark.parametrize("command", [("list", "--json"), ("list",), ("show", "B-250"), ("find", "drawer")])
def test_a_text_that_became_bytes_is_never_shown(run_here: Run, crib: Path, command: tuple[str, ...]) -> None:
    flip(crib, BROACH, 4, 1)

    ran = run_here("crib", *command, "--db", "crib.db")

    assert (ran.returncode, ran.stdout) == (ExitCode.STORAGE, "")
    assert "a row holds a value of a kind that no crib holds; the file is damaged" in ran.stderr


def test_no_plan_is_made_of_a_thickness_that_became_a_fraction(run_here: Run, crib: Path) -> None:
    flip(crib, SHIM, 1, 4)

    ran = run_here("plan", *HUB, "--db", "crib.db")

    assert (ran.returncode, ran.stdout) == (ExitCode.STORAGE, "")
    assert ran.stderr.count("\n") == 1


def test_an_import_of_a_piece_whose_tag_is_another_in_the_index_says_what_is_wrong(
    run_here: Run, crib: Path, home: Path
) -> None:
    run_here("crib", "export", "out", "--db", "crib.db")
    flip(crib, IN_THE_INDEX, 3, 0x20)
    before = crib.read_bytes()

    ran = run_here("crib", "import", "out", "--db", "crib.db")

    assert (ran.returncode, ran.stdout) == (ExitCode.STORAGE, "")
    assert "“crib.db” fails its check (damage: the file is damaged: " in ran.stderr
    assert crib.read_bytes() == before
    assert not (home / "xdg_state_home").exists(), "no report is written of what is no fault of the program"


def test_a_history_that_nests_brackets_without_end_is_damage(run_here: Run, crib: Path) -> None:
    run_here("crib", "lend", "B-250", "--to", "Kim", "--db", "crib.db")
    with closing(sqlite3.connect(crib)) as connection, connection:
        connection.execute("PRAGMA ignore_check_constraints = ON")
        connection.execute("UPDATE entry SET changes = ?", ["[" * 200_000])

    for command in (("crib", "show", "B-250"), ("crib", "undo"), ("data", "check")):
        ran = run_here(*command, "--db", "crib.db")

        assert ran.returncode == ExitCode.STORAGE
        assert "it nests too deeply" in (ran.stdout + ran.stderr)[-300:]


@pytest.mark.usefixtures("crib")
@pytest.mark.parametrize(("sql", "code"), [("DELETE FROM shim", ExitCode.STORAGE), ("", ExitCode.OUR_FAULT)])
def test_a_fault_after_the_crib_was_read_is_the_crib_s_where_that_fails_its_check_and_else_ours(
    run_here: Run, monkeypatch: pytest.MonkeyPatch, sql: str, code: ExitCode
) -> None:
    def stumble(db: str | None, *_: object, **__: object) -> None:
        list_pieces(db)
        raise AssertionError

    stub = SimpleNamespace(plan_hub=stumble)
    monkeypatch.setitem(sys.modules, "broachplan.desks.machinist.plan_hub", stub)  # type: ignore[misc]
    execute("crib.db", sql)

    ran = run_here("plan", *HUB, "--db", "crib.db")

    assert (ran.returncode, ran.stdout) == (code, "")


def test_a_tag_that_a_damaged_index_hides_is_not_said_to_be_unknown(run_here: Run, crib: Path) -> None:
    flip(crib, IN_THE_INDEX, 3, 0x20)

    ran = run_here("crib", "show", "B-250", "--db", "crib.db")

    assert (ran.returncode, ran.stdout) == (ExitCode.STORAGE, "")
    assert "fails its check (row 1 missing from index" in ran.stderr
