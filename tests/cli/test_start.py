"""The guided first crib line by line: a stranger's first plan, stopped and resumed, beside another station."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from broachplan.cli import screens
from broachplan.errors import ExitCode
from tests.cli.conftest import Run
from tests.cli.hostile import Terminal, in_order, terminal
from tests.desks.looking import list_pieces, show_piece

# A box as a stranger has it on paper; the figures are our own.
HUB = ("1 in +0.001 -0", "1-1/8 in", "1/4 in", "grey cast iron")
BUSHING = ("", "0.9985 in", "0.252 in", "0.6 in", "0.4 in", "micrometer")
BROACH = ("", "0.2505 in", "0.58 in", "0.628 in", "")
SHIMS = ("", "0.046 in", "0.248 in", "", "", "0.092 in", "=", "", "-")
PLAN = (*HUB, *BUSHING, *BROACH, *SHIMS)


@pytest.fixture
def at(home: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Terminal]:
    """A terminal without screens, on a crib that is not there yet."""
    monkeypatch.setenv("TERM", "dumb")
    monkeypatch.setenv("BROACHPLAN_DB", str(home / "own.db"))
    with terminal(monkeypatch) as made:
        yield made


def start(at: Terminal, *typed: str) -> str:
    code, shown = at.run("start", typed=typed)
    assert code == ExitCode.DONE, shown
    # Nobody echoes what is typed here, so that answers that follow each other share a line.
    parts = [part for line in shown.splitlines() for part in line.split(" > ")]
    assert all(len(part) <= 80 or "broachplan plan --bore" in part for part in parts), shown
    return shown


def test_ten_answers_on_paper_become_a_first_plan_and_then_the_rest_of_the_box(
    at: Terminal, home: Path
) -> None:
    shown = start(at, *PLAN, "shim", "", "0.0312 in", "=", "", "-", "stop")

    assert (
        shown.index("2 OF 5: A BUSHING")
        < shown.index("3 OF 5: THE BROACH")
        < shown.index("4 OF 5: THE SHIMS")
    )
    assert "READY: 3 passes, BR-1 in GU-1" in shown
    # The same plan as by its command, which is said.
    assert 'broachplan plan --bore "1 in +0.001 -0" --hub-length "1-1/8 in" --key "1/4 in"' in shown
    assert "SH-3, a shim, is in the crib" in shown
    assert "Done." in shown
    pieces = {kept.record.piece.tag: kept.record.piece for kept in list_pieces(str(home / "own.db"))}
    assert sorted(pieces) == ["BR-1", "GU-1", "SH-1", "SH-2", "SH-3"]
    # The plan was for the shims of the hub; the third came later, with the width of the last.
    assert pieces["SH-3"].width == pieces["SH-1"].width  # type: ignore[attr-defined]


def test_a_session_cut_off_anywhere_resumes_with_every_answer_that_was_given(
    at: Terminal, home: Path
) -> None:
    for count in range(len(PLAN)):
        shown = start(at, PLAN[count])
        assert ("Resumed where it was stopped." in shown) == (count > 0), shown
    assert "READY: 3 passes" in shown
    assert "THE REST OF THE BOX" in shown
    assert list_pieces(str(home / "own.db")).total == 4


def test_a_slip_is_asked_about_while_the_piece_is_at_hand_and_only_a_yes_takes_it(
    at: Terminal, home: Path
) -> None:
    slip = (*BUSHING[:-2], "0.45 in", "")
    shown = start(at, *HUB, *slip, "", "0.4 in", *BROACH[:1], "0.1875 in", *BROACH[2:], "y", "stop")
    flat = " ".join(shown.split())
    assert (
        "Measured right? web 0.45 in, but outside diameter less slot depth is 0.3985 in: 0.0515 in apart"
        in flat
    )
    assert "keyway width 0.1875 in, but this hub's keyway is 0.25 in to 0.252 in wide" in flat
    db = str(home / "own.db")
    assert show_piece(db, "GU-1").record.piece.web.nm == 10_160_000  # type: ignore[attr-defined]
    assert show_piece(db, "BR-1").record.piece.keyway_width.nm == 4_762_500  # type: ignore[attr-defined]


def test_help_back_and_unreadable_answers_lose_nothing(at: Terminal, home: Path) -> None:
    shown = start(
        *(at, "1 in", "?", "1,125 in", "1-1/8 in", "<", "28,5 mm", "", "", "GU 7", "0.9985", "25.36 mm", "?"),
        *("0.252 in", "", "?", "0.4 in", "", "stop"),
    )
    flat = " ".join(shown.split())
    assert "Length of the cut in one hub" in flat
    assert "could be 1.125 or 1125" in flat
    assert "read “0.9985” without a unit" in flat
    assert "GAUGE BLOCKS" in flat.upper()
    assert "OR, WITH A BROACH IN THE SLOT" in flat
    # Millimetres and inches mix, a comma is read as a point where it can be nothing else.
    piece = show_piece(str(home / "own.db"), "GU 7").record.piece
    assert (piece.outside_diameter.nm, piece.slot_width.nm) == (25_360_000, 6_400_800)  # type: ignore[attr-defined]


def test_two_stations_number_their_tags_past_each_other(
    at: Terminal, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    start(at, *HUB, *BUSHING, *BROACH, "stop")
    # The other station has drafts of its own.
    monkeypatch.setenv("XDG_DATA_HOME", str(home / "other"))
    other = start(at, *HUB, "GU-1", *BUSHING[1:], "", "<", "<", "stop")
    assert "tag: read “GU-1”, which a bushing in the crib has" in other
    assert "bushing tag [GU-2]" in other
    monkeypatch.setenv("XDG_DATA_HOME", str(home / "xdg_data_home"))
    assert "Resumed" in start(at, "stop")
    assert {kept.record.piece.tag for kept in list_pieces(str(home / "own.db"))} == {"GU-1", "GU-2", "BR-1"}


def test_a_terminal_with_screens_gets_the_screen_and_plain_asks_line_by_line(
    at: Terminal, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[object] = []
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setattr(screens, "open_screens", lambda db, **how: opened.append((db, how)))
    assert at.run("start", typed=[""]) == (ExitCode.DONE, "")
    assert opened == [(None, {"first_tools": True})]
    assert "1 OF 5" in at.run("start", "--plain", typed=["stop"])[1]


def test_without_a_terminal_one_line_says_what_to_do(run_here: Run) -> None:
    said = run_here("start")
    assert (said.returncode, said.stdout, said.stderr.count("\n")) == (ExitCode.BAD_INPUT, "", 1)
    assert "broachplan crib export FOLDER" in said.stderr


@pytest.mark.parametrize("text", ["\x1b[2J", "\u202e", "x" * 400, "1/0 in", "-1 in", "'; drop table piece"])
def test_hostile_answers_are_refused_or_shown_as_plain_text(at: Terminal, text: str) -> None:
    code, shown = at.run("start", typed=[text, "1 in", text, "1 in", text, "", text, "", text, "stop"])
    in_order(["start"], code, shown)


def test_a_web_over_the_broach_that_comes_next_is_worked_out_once_it_is_there(
    at: Terminal, home: Path
) -> None:
    over = ("", "0.9985 in", "0.252 in", "", "1.028 in over BR-1", "micrometer")
    shown = start(at, *HUB, *over, *BROACH, *SHIMS, "stop")
    assert "its web is worked out once BR-1 is in the crib" in shown
    assert "READY: 3 passes, BR-1 in GU-1" in shown
    record = show_piece(str(home / "own.db"), "GU-1").record
    assert record.piece.web.nm == 10_160_000  # type: ignore[attr-defined]
    assert record.measured.with_what == "micrometer over broach BR-1, last tooth: 1.028 in less 0.628 in"


def test_a_web_left_for_later_is_asked_again_after_the_broach(at: Terminal, home: Path) -> None:
    later = ("", "0.9985 in", "0.252 in", "0.6 in", "-", "micrometer")
    shown = start(at, *HUB, *later, *BROACH, "1.078 in over BR-1", "", "0.4 in", "stop")
    flat = " ".join(shown.split())
    assert "3 OF 5: THE WEB OF THE BUSHING, WHICH IS STILL TO BE MEASURED" in flat
    # 0.050 in too much, against the slot depth that was typed with the bushing.
    assert "Measured right? web 0.45 in, but outside diameter less slot depth is 0.3985 in" in flat
    assert show_piece(str(home / "own.db"), "GU-1").record.piece.web.nm == 10_160_000  # type: ignore[attr-defined]
