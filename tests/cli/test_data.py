"""The database checked and brought up to date from the command line."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from broachplan.cli import app
from broachplan.errors import ExitCode
from broachplan.store import schema

Here = Callable[..., tuple[int, str, str]]


@pytest.fixture
def here(home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Here:
    """Run a command on crib.db in this process; exit code, stdout and stderr."""
    monkeypatch.chdir(home)

    def _here(*arguments: str) -> tuple[int, str, str]:
        code = app.run([*arguments, "--db", "crib.db"])
        return (code, *capsys.readouterr())

    return _here


@pytest.fixture
def crib(home: Path, filled_file: str) -> Path:  # noqa: ARG001 - the crib lies there
    """A crib with one piece of each kind."""
    return Path(filled_file)


def broken(crib: Path, sql: str) -> None:
    with closing(sqlite3.connect(crib)) as connection, connection:
        connection.execute("PRAGMA ignore_check_constraints = ON")
        connection.execute(sql)


@pytest.mark.usefixtures("crib")
def test_a_check_of_a_crib_in_order_is_silent(here: Here) -> None:
    assert here("data", "check") == (ExitCode.DONE, "", "")


def test_a_check_reports_what_it_found_and_exits_with_4(here: Here, crib: Path) -> None:
    broken(crib, "UPDATE shim SET width = -1, thickness = 0")

    code, out, err = here("data", "check")

    assert (code, err) == (ExitCode.STORAGE, "")
    assert any("a shim that cannot be, S-1: thickness: read 0" in line for line in out.splitlines())


def test_a_check_of_an_absent_file_exits_with_4_and_makes_none(here: Here, home: Path) -> None:
    assert here("data", "check") == (
        ExitCode.STORAGE,
        "",
        "broachplan: “crib.db”: there is no such file\n",
    )
    assert not (home / "crib.db").exists()


def test_an_upgrade_of_an_absent_file_makes_it_and_a_second_has_nothing_to_do(here: Here) -> None:
    revision = schema.current()

    assert here("data", "upgrade") == (0, f"“crib.db” was made, at revision {revision}\n", "")
    assert here("data", "upgrade") == (
        0,
        f"“crib.db” is at revision {revision} already; nothing was changed\n",
        "",
    )
    assert here("data", "check") == (0, "", "")


def test_an_older_revision_is_refused_and_the_upgrade_named(
    here: Here, crib: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(schema, "REVISIONS", ("before", *schema.REVISIONS))
    broken(crib, "UPDATE alembic_version SET version_num = 'before'")

    code, out, err = here("crib", "list")

    assert (code, out) == (ExitCode.STORAGE, "")
    assert re.search(r"older revision before; run `broachplan data upgrade`", err)
    assert err.count("\n") == 1


@pytest.mark.parametrize("command", ["check", "upgrade"])
def test_every_command_has_help_with_an_example_in_80_columns(
    capsys: pytest.CaptureFixture[str], command: str
) -> None:
    assert app.run(["data", command, "--help"]) == 0

    out = capsys.readouterr().out
    assert f"broachplan data {command}" in out.split("Example:")[1]
    assert max(map(len, out.splitlines())) <= 80
