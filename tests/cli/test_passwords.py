"""No password of a database is ever printed, reported or written down, whatever signs it has and whatever goes wrong."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from types import SimpleNamespace
from urllib.parse import quote

import psycopg
import psycopg.sql
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from broachplan.cli import app as frame
from broachplan.errors import ExitCode
from tests.databases import name_in

# Begun and ended so that no word of the program is taken for one.
AWKWARD = (
    "zQa@bXj",
    "zQa/bXj",
    "zQa:b?c=d&Xj",
    "zQ#[]Xj",
    "zQ %zzXj",
    "zQ\nXj",
    "zQ“'\"”Xj",
    "zQ@h:5432/d?x=Xj",
)
passwords = st.sampled_from(AWKWARD) | st.text(
    st.characters(codec="utf-8", exclude_characters="\0"), max_size=20
).map("zQ{}Xj".format)
GIVEN = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
COMMANDS = (
    ("crib", "list", "--json", "--db", "URL"),
    ("crib", "lend", "S-1", "--to", "Kim", "--db", "URL"),
    ("data", "backup", "x.backup", "--db", "URL"),
    ("data", "check", "--db", "URL"),
    ("crib", "show", "URL"),
    ("crib", "list", "URL"),
    ("crib", "list", "--page", "URL"),
    ("plan", "--bore", "URL", "--hub-length", "1 in"),
    ("data", "restore", "URL"),
)


def seen(password: str, shown: str) -> list[str]:
    """Pieces of a password in a text: between the signs that a URL is cut at, those that begin or end it."""
    forms = {password, quote(password, safe=""), repr(password)[1:-1]}
    pieces = {piece for form in forms for piece in re.split(r"[@/:?#&=\s]", form)}
    return [piece for piece in pieces if ("zQ" in piece or "Xj" in piece) and piece in shown]


def urls(password: str) -> list[str]:
    """A password in a URL, rightly and wrongly written."""
    encoded = quote(password, safe="")
    shown = [
        f"{begun}{written}@127.0.0.1:1/crib{rest}"
        for written in (password, encoded)
        for begun in ("postgresql://kim:", "postgresql://kim@corp:", "nosuch://kim:", "postgresql:/kim:")
        for rest in ("", "?application_name=a")
    ]
    return [
        *shown,
        f"postgresql://127.0.0.1:1/crib?user=kim&password={encoded}",
        f"host=h password={encoded}",
    ]


@GIVEN
@given(passwords, st.data())
@pytest.mark.usefixtures("home")
def test_a_password_in_a_url_is_in_no_line_of_any_command(
    capsys: pytest.CaptureFixture[str], password: str, data: st.DataObject
) -> None:
    url = data.draw(st.sampled_from(urls(password)))
    command = [url if word == "URL" else word for word in data.draw(st.sampled_from(COMMANDS))]

    code = frame.run(command)

    shown = capsys.readouterr()
    assert code in (ExitCode.STORAGE, ExitCode.BAD_INPUT), shown
    assert not seen(password, shown.out + shown.err), shown


@settings(GIVEN, max_examples=10)
@given(passwords)
@example(AWKWARD[2])
@example(AWKWARD[7])
def test_a_password_is_in_no_report_of_a_fault(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], password: str
) -> None:
    url = f"postgresql://kim:{quote(password, safe='')}@127.0.0.1:1/crib"

    def list_pieces(*_: object, **__: object) -> None:
        raise ZeroDivisionError(f"at {url}: {password!r} and {password}")

    stub = SimpleNamespace(list_pieces=list_pieces)
    monkeypatch.setitem(sys.modules, "broachplan.desks.attendant.list_pieces", stub)  # type: ignore[misc]
    monkeypatch.setattr("platformdirs.user_log_path", lambda *_, **__: tmp_path / "log")
    for place in (["--db", url], []):
        monkeypatch.setenv("BROACHPLAN_DB", url)
        assert frame.run(["crib", "list", *place]) == ExitCode.OUR_FAULT

    shown = capsys.readouterr()
    reports = list((tmp_path / "log").iterdir())
    text = "".join(path.read_text() for path in reports)
    for path in reports:
        path.unlink()
    assert "ZeroDivisionError" in text
    assert not seen(password, text + shown.out + shown.err)


def test_a_right_password_is_shown_as_little_as_a_wrong_one(
    filled: str, server: str, home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    account = f"kim_{name_in(filled)}"
    with psycopg.connect(host=server, dbname=name_in(filled), user="postgres", autocommit=True) as keeper:
        keeper.execute(f"CREATE ROLE {account} LOGIN SUPERUSER")
        try:
            for password in (AWKWARD[2], AWKWARD[5], AWKWARD[7], "zQ%00%41Xj", "zQüß漢Xj"):
                written = psycopg.sql.Literal(password).as_string(keeper)
                keeper.execute(f"ALTER ROLE {account} PASSWORD {written}")
                for typed, code in ((password, ExitCode.DONE), (password + "wrong", ExitCode.STORAGE)):
                    url = f"postgresql://{account}:{quote(typed, safe='')}@/{name_in(filled)}?host={server}"
                    shown = _output_with(url, capsys, code)
                    assert not seen(password, shown)
            shown += (home / "kept.backup").read_bytes().decode("latin-1")
            assert not seen(password, shown)
        finally:
            keeper.execute(f"DROP OWNED BY {account}")
            keeper.execute(f"DROP ROLE {account}")


def _output_with(url: str, capsys: pytest.CaptureFixture[str], code: ExitCode) -> str:
    """All that is printed of a crib with a URL; each command ends with ``code``."""
    commands = [["crib", "list", "--json"]]
    if quote("漢") in url:
        commands += [
            ["data", "backup", "kept.backup", "--overwrite"],
            ["crib", "lend", "B-250", "--to", "Kim"],
            ["crib", "undo"],
        ]
        commands += [["data", "restore", "kept.backup"], ["data", "check"], ["data", "upgrade"]]
    assert [frame.run([*command, "--db", url]) for command in commands] == [code] * len(commands)
    printed = capsys.readouterr()
    return printed.out + printed.err
