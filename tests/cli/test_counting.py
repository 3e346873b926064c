"""Counting from the command line: blind, settled, listed; and the stock of a past day."""

from __future__ import annotations

import json
import os
import re
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from broachplan.cli.layout import WIDTH, sheet_lines
from broachplan.crib.homes import Drawer, Home, Placed
from broachplan.crib.loans import Loan, PieceStatus
from broachplan.crib.records import Condition, Record
from broachplan.crib.stock import Stock
from broachplan.desks.attendant.count_drawer import Counted
from broachplan.desks.attendant.list_counts import (
    ComparedLine,
    Count,
    CountLine,
    CountList,
    DrawerCounted,
    Head,
    Mismatch,
)
from broachplan.desks.attendant.list_missing import GonePiece
from broachplan.errors import ExitCode
from broachplan.sheets.listing import list_as_dict, list_lines
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import Shim
from broachplan.views.count_sheets import count_sheet
from broachplan.views.counts import count_as_dict, counted_as_dict, counts_as_dict, counts_lines
from broachplan.views.missing import MISSING
from broachplan.views.stock import STOCK as STOCK_LIST
from tests.cli.conftest import Run
from tests.cli.validity import valid
from tests.store.cribs import fill, small_crib

HERE = Path(__file__).parent
AT, DAY = datetime(2031, 5, 2, 9, 30, tzinfo=UTC), date(2031, 5, 2)
KIM = Loan("Kim", DAY, date(2031, 5, 9), "7")
ABSENT = CountLine("S-1", True, False, Mismatch.ABSENT)
HERE_NOW = Placed(PieceStatus("S-1", Kind.SHIM), "A/1/01", "box")
OUT = Placed(PieceStatus("B-250", Kind.BROACH, loan=KIM), "drawer 4")
LOST = Placed(PieceStatus("S-3", Kind.SHIM, Condition.WORN, missing_since=DAY))
GONE = Placed(PieceStatus("S-4", Kind.SHIM, Condition.UNFIT, retired=True), "A/1/04")
COUNTED = Counted(
    Count(
        7,
        Home.read("A/1"),
        AT,
        "Ann",
        (
            ABSENT,
            CountLine("S-2", True, True, Mismatch.NONE),
            CountLine("S-9", False, True, Mismatch.UNKNOWN),
        ),
    ),
    (
        ComparedLine(ABSENT, HERE_NOW, changed="S-1 was changed after the count and lives in A/1/01"),
        ComparedLine(CountLine("S-2", True, True, Mismatch.NONE), HERE_NOW),
        ComparedLine(CountLine("S-9", False, True, Mismatch.UNKNOWN), None, ("S-1", "S-2")),
    ),
    ("S-2",),
)
COUNTS = CountList(
    (Head(8, Home.read("B/1"), AT, "", None, 12, 3), Head(7, Home.read("A/1"), AT, "Ann", AT, 3, 2)),
    (
        DrawerCounted(Drawer(Home.read("A/2"), 1), None),
        DrawerCounted(Drawer(Home.read("A/1"), 3), Head(7, Home.read("A/1"), AT, "Ann", AT, 3, 2)),
    ),
    4,
)
STOCK = Stock(DAY, (OUT, HERE_NOW, LOST, GONE), DAY, 2)
ANSWERS: dict[str, dict[str, Any]] = {
    "count": counted_as_dict(COUNTED),
    "counts": counts_as_dict(COUNTS),
    "missing": list_as_dict(MISSING, [GonePiece(LOST, "Kim", "J-701")]),
    "stock": list_as_dict(STOCK_LIST, STOCK),
}


@pytest.fixture
def db(home: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A crib with one piece of each kind, and three shims in drawer A/1."""
    path = str(home / "crib.db")
    shims = [
        Record(piece=Shim(tag=f"S-1{place}"), home=f"A/1/0{place}", set_name=("", "inch set", "")[place])
        for place in range(3)
    ]
    fill(path, [*small_crib(), *shims])
    monkeypatch.setenv("BROACHPLAN_DB", path)
    return path


@contextmanager
def at_terminal(typed: bytes, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Somebody who types that, or a scanner."""
    outer, inner = os.openpty()
    os.write(outer, typed)
    with open(inner, encoding="utf-8") as stdin, monkeypatch.context() as patch:
        patch.setattr(sys, "stdin", stdin)
        yield
    os.close(outer)


def squeezed(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("name", ANSWERS)
def test_an_answer_in_json_keeps_its_schema_and_is_the_golden_file_byte_for_byte(name: str) -> None:
    answer = json.dumps(ANSWERS[name], indent=2) + "\n"

    assert answer.encode("ascii") == (HERE / "golden" / f"{name}.json").read_bytes()
    whole = valid(answer, name)
    for key in set(whole) - {"twice"}:
        with pytest.raises(jsonschema.ValidationError, match="is a required property"):
            valid(json.dumps({other: whole[other] for other in whole if other != key}), name)


@pytest.mark.usefixtures("db")
def test_a_drawer_is_counted_settled_and_listed_in_words(run_here: Run, home: Path) -> None:
    (home / "tags.txt").write_text("S-10\nB-250\n")

    counted = run_here("crib", "count", "a/1", "S-10", "X-1", "--from", "tags.txt", "--by", "Ann")

    assert (counted.returncode, counted.stderr) == (ExitCode.NO, "")
    assert counted.stdout.splitlines() == [
        "count 1, drawer A/1: 4 differ, 1 in order",
        "",
        "  not here      S-11: not found; its home is A/1/01",
        "  not here      S-12: not found; its home is A/1/02",
        "  wrong drawer  B-250: its home is drawer 4",
        "  no such tag   X-1: no piece has this tag; the nearest: S-1, R-1, P-1",
        "  scanned more than once, counted once: S-10",
        "  settle it: broachplan crib settle 1 --cause TAG=WORDS ...",
    ]
    assert "open\n  count  drawer" in run_here("crib", "counts").stdout
    assert run_here("crib", "counts", "1").stdout.splitlines()[3:] == [
        *counted.stdout.splitlines()[2:6],
        "  in order      S-10",
    ]
    settled = run_here(
        "crib", "settle", "1", "--cause", "S-11=ground away", "--all", "who knows", "--move", "B-250=07"
    )
    today = run_here("crib", "missing").stdout.splitlines()[1].split()[2]
    assert settled.stdout.splitlines() == [
        "count 1 of A/1 is settled: 3 corrected",
        "",
        "Corrected",
        "  B-250 stays; its home is A/1/07 now",
        f"  S-11 is missing since {today}; its home is A/1/01",
        f"  S-12 is missing since {today}; its home is A/1/02",
    ]
    assert run_here("crib", "missing").stdout.endswith("\n2 pieces missing, the longest missing first\n")
    assert (
        "not here      S-11: not found where the books had it; cause: ground away\n"
        in run_here("crib", "counts", "1").stdout
    )
    history = squeezed(run_here("crib", "show", "S-11").stdout.partition("History")[2])
    assert f"counted missing since {today} note: count 1: ground away" in history
    found = run_here("crib", "found", "S-12", "--note", "behind the press")
    assert found.stdout == f"S-12, missing since {today}, is found, fit; its home is A/1/02\n"
    history = squeezed(run_here("crib", "show", "S-12").stdout.partition("History")[2])
    assert f"counted missing no longer (it was since {today}) note: behind the press" in history
    stock = run_here("crib", "stock", "--kind", "shims").stdout
    assert f"  S-11  shim  missing since {today}  A/1/01" in stock
    assert "4 pieces, 0 out, 1 missing, 0 retired" in stock
    assert run_here("crib", "count", "A/1", "B-250", "S-10", "S-12").stdout == (
        "count 2, drawer A/1: it agrees with the books, 3 pieces\n"
    )


@pytest.mark.usefixtures("db")
def test_answers_of_a_crib_keep_their_schemas(run_here: Run) -> None:
    counted = run_here("crib", "count", "A/1", "S-10", "S-1", "--json")
    shown = valid(run_here("crib", "counts", "1", "--json").stdout, "count")
    run_here("crib", "settle", "1", "--all", "lost")

    assert counted.returncode == ExitCode.NO
    assert valid(counted.stdout, "count") == {**shown, "twice": []}
    listed = valid(run_here("crib", "counts", "--json").stdout, "counts")
    assert [each["differences"] for each in listed["counts"]] == [3]
    (box,) = valid(run_here("crib", "sets", "--json").stdout, "sets")["sets"]
    assert (box["complete"], box["missing"]) == (False, ["S-11"])
    assert "LACKS 1: S-11 missing since " in squeezed(run_here("crib", "sets").stdout)
    missing = valid(run_here("crib", "missing", "--json").stdout, "missing")
    assert [each["tag"] for each in missing["pieces"]] == ["S-11", "S-12"]
    stock = valid(run_here("crib", "stock", "--on", "2020-01-01", "--json").stdout, "stock")
    assert (len(stock["pieces"]), stock["older"]) == (9, 9)


@pytest.mark.usefixtures("db")
def test_a_count_at_a_terminal_is_blind_until_an_empty_line_ends_it(
    run_here: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    with at_terminal(b"S-10\na,b\n S-10 \n\xff\nS-12\n\nS-11\n", monkeypatch):
        ran = run_here("crib", "count", "A/1")

    asked = ran.stderr.splitlines()
    assert asked[0] == "drawer A/1: scan or type what is in it, a tag a line; an empty line ends the count"
    assert asked[1].startswith("tag: read “a,b”; use at most 40 plain characters")
    assert asked[2] == "S-10 is counted already"
    assert asked[3].endswith("; not counted")
    assert not any("S-11" in line for line in asked)
    assert "  not here  S-11: not found; its home is A/1/01\n" in ran.stdout
    assert ran.stdout.startswith("count 1, drawer A/1: 1 differs, 2 in order\n")


@pytest.mark.usefixtures("db")
@pytest.mark.parametrize(
    ("arguments", "code", "message"),
    [
        (
            ("count", "A/2", "S-1"),
            ExitCode.BAD_INPUT,
            "drawer: read “A/2”: no piece lives there; the nearest",
        ),
        (("count", "A/1"), ExitCode.BAD_INPUT, "tags: none given; write them after the drawer"),
        (("count", "A/1", "a\x1bb"), ExitCode.BAD_INPUT, "tag: read “a\\u001bb”"),
        (("count", "A/1", "--from", "none.txt"), ExitCode.BAD_INPUT, "none.txt: there is no such file"),
        (("settle", "1"), ExitCode.BAD_INPUT, "count: read 1, which there is not; nothing was counted yet"),
        (("settle", "x"), ExitCode.BAD_INPUT, "'x' is not a valid int"),
        (("settle", "9" * 30), ExitCode.BAD_INPUT, f"count: read {'9' * 30}, which there is not"),
        (("counts", "9"), ExitCode.BAD_INPUT, "count: read 9, which there is not"),
        (("found", "S-10"), ExitCode.STATE, "S-10 is not missing"),
        (("stock", "--on", "9999-12-31"), ExitCode.BAD_INPUT, "on: read 9999-12-31, a day in the future"),
        (("stock", "--on", "May"), ExitCode.BAD_INPUT, "on: read “May”; write a day"),
    ],
)
def test_what_cannot_be_is_one_line_and_its_exit_code(
    run_here: Run, arguments: tuple[str, ...], code: ExitCode, message: str
) -> None:
    ran = run_here("crib", *arguments)

    assert (ran.returncode, ran.stdout) == (code, "")
    assert message in ran.stderr
    assert ran.stderr.count("\n") == 1


@pytest.mark.usefixtures("db")
def test_a_count_is_settled_once_with_one_cause_for_each(run_here: Run) -> None:
    run_here("crib", "count", "A/1", "S-10", "S-1")

    def settle(*options: str) -> tuple[int, str]:
        ran = run_here("crib", "settle", "1", *options)
        return ran.returncode, ran.stderr or ran.stdout

    assert settle()[1].startswith(
        "broachplan: cause: no cause given for S-1, S-11, S-12; write --cause TAG=WORDS"
    )
    assert settle("--cause", "S-1=a", "--cause", "S-1=b")[1] == (
        "broachplan: cause: S-1 is given twice with different words; give it once\n"
    )
    assert settle("--cause", "S-10=a")[1].startswith("broachplan: cause: read “S-10”, which does not differ")
    assert settle("--all", "x", "--move", "S-11")[1].startswith(
        "broachplan: move: read “S-11”: it cannot get a home"
    )
    assert settle("--cause", "S-1") == (
        ExitCode.BAD_INPUT,
        "broachplan: cause: read “S-1”; write TAG=WORDS, for example SH-0250-9=lent by word\n",
    )
    code, message = settle("--all", "x", "--move", "S-1,")
    assert code == 0
    assert re.sub(r"since \S+;", "since then;", message).splitlines() == [
        "count 1 of A/1 is settled: 3 corrected",
        "",
        "Corrected",
        "  S-1 stays; its home is A/1 now",
        "  S-11 is missing since then; its home is A/1/01",
        "  S-12 is missing since then; its home is A/1/02",
    ]
    assert settle("--all", "x") == (
        ExitCode.STATE,
        "broachplan: count 1 of A/1 is settled already; count again if it differs now\n",
    )


def test_an_empty_input_means_an_empty_drawer(run_here: Run, db: str, monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    with open(os.devnull, encoding="utf-8") as nothing:
        monkeypatch.setattr(sys, "stdin", nothing)
        ran = run_here("crib", "count", "A/1", "--from", "-", "--db", db)

    assert ran.stdout.startswith("count 1, drawer A/1: 3 differ, 0 in order\n")


WORDS: dict[str, Callable[[], Iterable[str]]] = {
    "count": lambda: sheet_lines(count_sheet(COUNTED)),
    "counts": lambda: counts_lines(COUNTS, WIDTH),
    "stock": lambda: list_lines(STOCK_LIST, STOCK, WIDTH),
}


@pytest.mark.parametrize("name", WORDS)
def test_words_keep_to_80_columns(name: str) -> None:
    assert max(map(len, WORDS[name]())) <= 80


def test_an_open_count_tells_what_changed_since_and_a_list_of_counts_what_waits() -> None:
    assert squeezed(" ".join(sheet_lines(count_sheet(COUNTED)))).endswith(
        "by Ann; open not here S-1: not found where the books had it; S-1 was changed after the count and lives in A/1/01 "
        "no such tag S-9: no piece has this tag; the nearest: S-1, S-2 in order S-2"
    )
    when = f"{AT.astimezone():%Y-%m-%d %H:%M}"
    assert [squeezed(line) for line in counts_lines(COUNTS, WIDTH)] == [
        "open",
        "count drawer counted tags result",
        f"8 B/1 {when} 12 OPEN: 3 differ",
        "settled, the latest first",
        "count drawer counted by tags result",
        f"7 A/1 {when} Ann 3 2 differ, settled",
        "drawers, the longest not counted first",
        "drawer counted by result",
        "A/2 never",
        f"A/1 {when} Ann 2 differ, settled",
        "1 open, 1 settled; 4 pieces without a home",
    ]
    many = CountList(COUNTS.counts[1:] * 12, (), 0)
    assert [*counts_lines(many, WIDTH)][-2:] == ["  and 2 more; --all shows them", "0 open, 12 settled"]
    assert sum("A/1" in line for line in counts_lines(many, WIDTH, every=True)) == 12


def test_a_stock_in_words_tells_where_each_piece_was_and_what_the_history_cannot_know() -> None:
    assert [*list_lines(STOCK_LIST, STOCK, WIDTH)] == [
        "  tag    kind    state                                             home      set",
        "  B-250  broach  lent to Kim since 2031-05-02, due 2031-05-09,     drawer 4",
        "                 job 7",
        "  S-1    shim    fit                                               A/1/01    box",
        "  S-3    shim    missing since 2031-05-02; worn",
        "  S-4    shim    retired                                           A/1/04",
        "end of 2031-05-02: 3 pieces, 1 out, 1 missing, 1 retired",
        "The history begins on 2031-05-02; older pieces are shown as having been there",
        "  always.",
    ]
    none = Stock(DAY, (GONE,), None, 1)
    assert "The history has not begun; " in squeezed(" ".join(list_lines(STOCK_LIST, none, WIDTH)))
    assert not any("history" in line for line in list_lines(STOCK_LIST, Stock(DAY, ()), WIDTH))


@pytest.mark.parametrize("command", ["count", "settle", "counts", "missing", "found", "stock"])
def test_every_command_has_help_with_an_example_in_80_columns(run_here: Run, command: str) -> None:
    ran = run_here("crib", command, "--help")

    assert f"broachplan crib {command}" in ran.stdout.split("Example:")[1]
    assert max(map(len, ran.stdout.splitlines())) <= 80


def test_a_settled_count_in_json_says_when() -> None:
    settled = Count(7, Home.read("A/1"), AT, settled=AT)

    assert count_as_dict(Counted(settled, ()))["settled"] == "2031-05-02T09:30:00Z"
