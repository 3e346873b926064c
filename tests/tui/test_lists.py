"""What is out, the sets, and the last actions with the last of them undone."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from broachplan.crib.loans import Loan, PieceStatus
from broachplan.crib.records import Condition
from broachplan.crib.sets import ToolSet
from broachplan.crib.status_words import lacks, state_words
from broachplan.tooling.figures import Kind
from tests.cli.hostile import foreign
from tests.desks.doing import edit_piece, lend_piece, lend_set, retire_piece, return_piece
from tests.desks.looking import list_out, show_piece
from tests.tui.attending import Attending, attend

NOW = datetime(2026, 3, 2, 9, 30, tzinfo=UTC)
TODAY = date(2026, 3, 9)
FREE = PieceStatus("BR-1", Kind.BROACH)
LATE = replace(FREE, loan=Loan("Kim", date(2026, 3, 2), date(2026, 3, 6), "7031"))


def test_what_is_out_is_listed_overdue_first_and_the_chosen_piece_taken_back(filled_file: str) -> None:
    lend_piece(filled_file, "S-1", "Ann", at=NOW)
    lend_piece(filled_file, "R-1", "Kim", due="2026-03-06", job="7031", at=NOW)

    async def act(at: Attending) -> None:
        await at.type("f8", "f3")
        assert "2 pieces out, 1 OVERDUE" in at.words("#title")
        assert at.rows[0] == ("OVERDUE", "R-1", "ring", "Kim", "2026-03-02", "2026-03-06", "7031")
        await at.type("=ann", "f12", "enter", "f2", "enter", "escape")
        assert "1 piece out, 1 OVERDUE" in at.words("#title")
        assert "Nothing here has all these words" in at.screen()
        await at.type("=R-1", "enter")
        assert at.words("#title").startswith("R-1   a ring   OVERDUE, lent to Kim")
        await at.type("escape", "=S-1", "enter")
        assert at.words("#title").startswith("S-1   a shim   fit")

    attend(filled_file, act)

    assert [out.tag for out in list_out(filled_file)] == ["R-1"]


def test_a_set_shows_what_it_lacks_and_is_lent_whole(filled_file: str) -> None:
    edit_piece(filled_file, "S-1", {"set": "inch set"})
    edit_piece(filled_file, "G-1000", {"set": "odd box"})

    async def act(at: Attending) -> None:
        await at.type("f8", "f4")
        assert at.rows == [
            ("inch set", "2", "complete"),
            ("odd box", "1", "no broach belongs to it; LACKS 1: G-1000 worn"),
        ]
        assert "2 sets, 1 complete" in at.words("#title")
        # A row is chosen once somebody has gone to it.
        await at.type("down", "up", "f11", "enter", "=Kim", "enter", "escape")
        assert at.rows[0][2].startswith("LACKS 2: all lent to Kim since")
        await at.type("enter", "down", "enter")
        assert at.words("#title").startswith("S-1   a shim   lent to Kim")
        await at.type("escape", "escape")
        assert at.name == "sets"
        await at.type("escape")
        assert at.name == "crib"

    attend(filled_file, act)

    assert {out.tag for out in list_out(filled_file)} == {"B-250", "S-1"}


def test_the_chosen_act_is_undone_after_it_was_shown_unless_its_pieces_were_changed_meanwhile(
    filled_file: str,
) -> None:
    lend_set(filled_file, "inch set", "Kim", by="Ann", at=NOW)
    retire_piece(filled_file, "N-1", note="bent", by="Jo", at=NOW)

    async def act(at: Attending) -> None:
        await at.type("f8", "f8")
        assert [(row[0], *row[2:]) for row in at.rows] == [
            ("2", "Jo", "", "N-1: retired; note: bent"),
            ("1", "Ann", "", "B-250: lent to Kim"),
        ]
        await at.type("down", "f4")
        assert at.words("#modal-title") == "Undo act 1?"
        assert "B-250, a broach: lent to Kim" in at.words("#modal-text")
        return_piece(filled_file, "B-250", "fit", by="Lee")
        await at.type("=Joe", "f2")
        assert "B-250 was changed since, in act 3 by Lee: returned" in at.words("#said")
        assert [row[0] for row in at.rows] == ["3", "2", "1"]
        await at.type("=bent", "f4", "f2")
        assert "undone: N-1, retired" in at.words("#said")
        assert [row[3] for row in at.rows] == ["undone"]
        await at.type("f4")
        assert at.words("#said") == "Act 2 is undone already; choose another act."
        await at.type("enter")
        assert "note: bent" in at.words("#pane-text")

    attend(filled_file, act)

    assert show_piece(filled_file, "N-1").history[0].entry.by == "Joe"


HOSTILE = "\u202ea[b]\x1b[2J\x07[/b]\u200bz"


def test_hostile_words_of_a_crib_are_plain_on_every_screen_of_the_attendant(
    filled_file: str,
) -> None:
    lend_piece(filled_file, "B-250", "Kim", by="Ann")
    with closing(sqlite3.connect(filled_file)) as connection, connection:
        connection.execute(
            "UPDATE piece SET home = ?1, note = ?1, set_name = ?1, measured_by = ?1", (HOSTILE,)
        )
        connection.execute("UPDATE loan SET to_name = ?", (HOSTILE,))
        connection.execute("UPDATE action SET by_name = ?1", (HOSTILE,))
        changes = json.dumps({"lent_to": [None, HOSTILE], "home": [HOSTILE, "x"]})
        connection.execute("UPDATE entry SET note = ?1, changes = ?2", (HOSTILE, changes))

    async def act(at: Attending) -> None:
        for keys in (["f8"], ["f11", "=x"], ["escape", "=B-250", "enter"], ["f2"], ["escape", "escape", "f3"],
                     ["escape", "f4"], ["enter"], ["escape", "escape", "f8"], ["enter"]):  # fmt: skip
            await at.type(*keys)
            assert foreign(at.screen()) == [], (at.name, keys)
            assert at.name != ""

    attend(filled_file, act)


@pytest.mark.parametrize(
    ("status", "words"),
    [
        (FREE, "fit"),
        (LATE, "OVERDUE, lent to Kim since 2026-03-02, due 2026-03-06, job 7031"),
        (replace(LATE, condition=Condition.WORN), "OVERDUE, lent to Kim since 2026-03-02, due 2026-03-06, job 7031; worn"),
        (replace(FREE, missing_since=TODAY, condition=Condition.UNFIT), "missing since 2026-03-09; out of service"),
        (replace(FREE, held_for="job 7"), "held on 2026-03-09 for job 7"),
        (replace(LATE, retired=True), "retired"),
    ],
)  # fmt: skip
def test_a_state_shows_everything_that_keeps_a_piece_from_being_used(status: PieceStatus, words: str) -> None:
    assert state_words(status, TODAY) == words


def test_a_set_lacks_what_is_out_not_fit_or_missing() -> None:
    there = replace(FREE, tag="S-1", kind=Kind.SHIM)

    assert lacks(ToolSet("box", (FREE, there)), TODAY) == "complete"
    assert lacks(ToolSet("box", (LATE, there)), TODAY).startswith("LACKS 1: BR-1 OVERDUE, lent to Kim")
    gone = replace(there, missing_since=TODAY)
    assert lacks(ToolSet("box", (FREE, gone)), TODAY) == "LACKS 1: S-1 missing since 2026-03-09"
    assert lacks(ToolSet("box", (there,)), TODAY) == "no broach belongs to it"
