"""Lending and taking back from anywhere, as quickly as a scanner types."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tests.desks.doing import edit_piece, hold_piece, inspect_piece, lend_piece, lend_set
from tests.desks.looking import list_out, show_piece
from tests.tui.answers import READY
from tests.tui.attending import Attending, attend
from tests.tui.driving import Drive, drive
from tui.hand_fields import LEND, TAKE_BACK
from tui.screens.desk import DeskScreen
from tui.widgets.entry import EntryLine


def test_a_scanners_burst_lends_one_piece_after_the_other_to_one_person(filled_file: str) -> None:
    lend_piece(filled_file, "R-1", "Ann")
    due = (date.today() + timedelta(days=7)).isoformat()

    async def act(at: Attending) -> None:
        assert isinstance(at.app.screen, DeskScreen)
        await at.type("f11", "=S-1", "enter", "=Kim", "down", "=+7", "down", "=7031", "down", "=Joe", "enter", "=R-1", "enter", "=b-250", "enter")  # fmt: skip
        shown = at.words("#results")
        assert f"S-1 lent to Kim, due {due}, job 7031" in shown
        assert "NOT DONE  R-1 is lent to Ann since" in shown
        assert f"B-250 lent to Kim, due {due}, job 7031" in shown
        assert (at.typed("to"), at.typed("by"), at.typed("tag")) == ("Kim", "Joe", "")
        await at.type("escape")
        assert isinstance(at.app.screen, DeskScreen)
        assert at.app.by == "Joe"

    attend(filled_file, act)

    assert {out.tag: out.loan.to for out in list_out(filled_file)} == {
        "S-1": "Kim",
        "B-250": "Kim",
        "R-1": "Ann",
    }
    assert show_piece(filled_file, "S-1").history[0].entry.by == "Joe"


def test_a_return_asks_for_the_condition_books_the_cut_and_keeps_what_was_refused(filled_file: str) -> None:
    lend_piece(filled_file, "B-250", "Kim")
    lend_piece(filled_file, "S-1", "Kim")

    async def act(at: Attending) -> None:
        await at.type("f8", "f12", "=B-250", "enter")
        assert at.app.focused is at.app.screen.query_one("#condition")
        assert "B-250: lent to Kim since" in at.words("#known")
        await at.type("f3", "down", "=2 x 3", "enter")
        assert "write hubs x passes x hub length" in at.words("#said")
        await at.type("=  x 1 in", "down", "=chipped", "enter", "=S-1", "f2", "enter", "=P-1", "f2", "enter")
        shown = at.words("#results")
        assert "B-250 is back from Kim, worn; keep it apart" in shown
        assert "S-1 is back from Kim, fit" in shown
        assert "NOT DONE  P-1 is not out" in shown
        # The refused tag is still in the line, and the next scan replaces it.
        assert at.typed("tag") == "P-1"
        await at.type("=N")
        assert at.typed("tag") == "N"
        await at.type("escape")
        assert [row[4] for row in at.rows if row[0] in ("B-250", "S-1")] == ["worn", "fit"]
        assert "0 out" in at.words("#title")

    attend(filled_file, act)

    back = show_piece(filled_file, "B-250").history[0]
    assert back.entry.note == "chipped"
    assert "6" in [str(each.new) for each in back.differences if each.label == "cuts"]


def test_a_set_is_lent_by_its_name_and_names_complete(filled_file: str) -> None:
    async def act(at: Attending) -> None:
        await at.type("f11")
        await at.type("=inch", "right", "enter", "=B-250", "enter")
        assert "which is a tag; write the name" in at.words("#said")
        await at.type("=Kim", "enter")
        assert "set inch set (B-250) lent to Kim" in at.words("#results")
        await at.type("=S-1", "down", "backspace", "backspace", "=i", "right", "enter")
        await at.type("f12", "=B-250", "enter")
        assert at.name == "return"
        # The other form takes over the tag in this line; a busy one does not close.
        await at.type("f11")
        assert (at.name, at.typed("tag")) == ("lend", "B-250")

    attend(filled_file, act)

    assert [(out.tag, out.loan.to) for out in list_out(filled_file)] == [("B-250", "Kim"), ("S-1", "Kim")]


def test_the_press_lends_too_the_palette_takes_back_and_a_text_is_not_lent_over() -> None:
    async def act(at: Drive) -> None:
        await at.press("f3", "f11")
        assert at.app.screen.name == "lend"
        await at.press("escape", "f1", "f12")
        assert at.app.screen.name == "help"
        await at.press("escape", "ctrl+p", "f12", *"pieces or a set back")
        await at.press("enter")
        assert at.app.screen.name == "return"

    drive(act)


@pytest.mark.parametrize(
    ("name", "right", "wrong", "reason"),
    [
        ("tag", "S-1", "\u202ex", "must not be in it"),
        ("to", "Kim", "k" * 101, "at most 100"),
        ("due", "2031-05-28", "28 May", "such as 2031-05-28"),
        ("due", "+14", "+", "such as 2031-05-28"),
        ("job", "7031", "j" * 101, "at most 100"),
        ("has_cut", "4 x 3 x 1-1/2 in", "4 x 3 x 1", "without a unit"),
        ("has_cut", "4×3×25 mm", "0 x 3 x 1 in", "whole number from 1"),
        ("note", "n" * 200, "n" * 201, "at most 200"),
        ("by", "Joe", "\x07", "must not be in it"),
    ],
)
def test_a_line_of_a_loan_says_why_a_text_will_not_do(name: str, right: str, wrong: str, reason: str) -> None:
    field = next(each for each in (*LEND, *TAKE_BACK) if each.name == name)

    assert field.reason_against(right, {}) == ""
    assert reason in field.reason_against(wrong, {})


def test_the_pieces_of_a_plan_are_ready_to_be_lent_and_each_of_a_list_is_lent_by_itself(
    filled_file: str,
) -> None:
    taken = ", ".join(READY.plans[0].taken)

    async def over_a_plan(at: Drive) -> None:
        for keys in (("f11",), ("escape", "f3", "f11")):
            await at.press(*keys)
            assert at.app.screen.query_one("#tag", EntryLine).value == taken
        # Taken back it is piece by piece.
        await at.press("escape", "f12")
        assert at.app.screen.query_one("#tag", EntryLine).value == READY.plans[0].broach.tag

    async def act(at: Attending) -> None:
        await at.type("f11", "=S-1, r-1, B-250", "enter", "=Kim", "enter")
        shown = at.words("#results")
        assert all(f"{tag} lent to Kim" in shown for tag in ("S-1", "B-250"))
        assert "NOT DONE  R-1 is lent to Ann since" in shown

    drive(over_a_plan)
    lend_piece(filled_file, "R-1", "Ann")
    attend(filled_file, act)

    assert {out.tag for out in list_out(filled_file) if out.loan.to == "Kim"} == {"S-1", "B-250"}


def test_a_set_comes_back_by_its_list_from_the_one_who_brings_it(filled_file: str) -> None:
    for tag in ("B-250", "S-1", "N-1", "R-1"):
        edit_piece(filled_file, tag, {"set": "inch set"})
    lend_piece(filled_file, "R-1", "Jo")
    lend_set(filled_file, "inch set", "Kim", lacking="R-1")

    async def act(at: Attending) -> None:
        await at.type("f12", "ctrl+u", "=inch set", "f2", "enter")
        assert at.name == "set_list"
        assert "out to several" in at.words("#modal-title")
        await at.type("f2")
        assert "whose pieces are these?" in at.words("#said")
        await at.type("=kim", "enter")
        rows = at.words("#modal-text").splitlines()
        assert [row.strip() for row in rows] == ["1 [ ] B-250", "2 [ ] N-1", "3 [ ] S-1", "lent without R-1"]
        # The pin stays out, the shim is worn; a scan that is not of the list is said.
        await at.type("=2", "enter", "=S-1", "enter", "=s-1", "enter", "=R-1", "enter")
        assert "[-] N-1  STAYS OUT" in at.words("#modal-text")
        assert "[w] S-1  WORN" in at.words("#modal-text")
        assert "R-1: no number or tag of this list" in at.words("#said")
        await at.type("f2")
        shown = " ".join(at.words("#results").split())
        assert "B-250 is back from Kim, fit" in shown
        assert "still out to Kim: N-1" in shown
        assert "it was lent without R-1" in shown
        # Left again, all of it stays as it is.
        await at.type("=inch set", "f2", "enter", "=1", "enter", "escape")
        assert at.name == "return"
        await at.type("escape")

    attend(filled_file, act)

    assert {each.tag: each.loan.to for each in list_out(filled_file)} == {"N-1": "Kim", "R-1": "Jo"}
    assert show_piece(filled_file, "S-1").state == "worn"


def test_one_key_says_yes_to_a_loan_over_a_hold_and_lends_the_rest_of_a_set(filled_file: str) -> None:
    tomorrow = date.today() + timedelta(days=1)
    for tag in ("B-250", "S-1", "N-1"):
        edit_piece(filled_file, tag, {"set": "inch set"})
    hold_piece(filled_file, "B-250", "J-710", str(tomorrow))
    inspect_piece(filled_file, "N-1", "worn")

    async def act(at: Attending) -> None:
        await at.type("f11", "=S-1", "enter", "=Kim", "down", "=+3", "enter", "=B-250", "enter")
        shown = " ".join(at.words("#results").split())
        assert (
            f"NOT DONE B-250 is wanted {tomorrow} for J-710: due back before? F8: do it all the same" in shown
        )
        assert "DONE S-1 lent to Kim" in shown
        await at.type("f8")
        assert "DONE B-250 lent to Kim" in " ".join(at.words("#results").split())
        # A yes is given once.
        await at.type("f8", "escape")
        await at.type("f12", "ctrl+u", "=B-250", "f2", "enter", "=S-1", "f2", "enter", "escape")
        await at.type("f11", "ctrl+u", "=inch set", "enter", "=Kim", "enter")
        assert "the rest can be lent without N-1 F8" in " ".join(at.words("#results").split())
        await at.type("f8", "escape")

    attend(filled_file, act)

    assert {each.tag: each.loan.lacked for each in list_out(filled_file)} == {"B-250": "N-1", "S-1": "N-1"}
