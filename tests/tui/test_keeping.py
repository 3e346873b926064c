"""Holds, wear, boxes and past stock on the attendant's screens, by keys on a crib."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from broachplan.crib.records import Condition
from broachplan.crib.wear import Booking, Wear
from broachplan.desks.attendant.book_cuts import Booked
from broachplan.desks.attendant.change_set import Moved
from broachplan.desks.attendant.inspect_piece import Inspected
from broachplan.lengths import Length, Units
from broachplan.tooling.pieces import Broach
from tests.desks.doing import book_cuts, change_setting
from tests.desks.looking import list_due, list_sets, show_piece
from tests.tui.attending import Attending, attend
from tui.grind_fields import geometry, lines_of, reason_against
from tui.keep_fields import BOOK, HOLD


def test_a_piece_is_held_from_its_screen_and_let_go_from_the_list(filled_file: str) -> None:
    first, last = (date.today() + timedelta(days=days) for days in (3, 5))

    async def act(at: Attending) -> None:
        await at.type("f8", "=B-250", "enter")
        # Work and days are kept for the next tag; a set is held by its name.
        await at.type(
            "f3", "=7031", "down", "=+3", "down", "=+5", "enter", "=S-1", "enter", "=inch set", "enter"
        )
        shown = at.words("#results")
        assert f"B-250 held from {first} to {last} for 7031" in shown
        assert f"S-1 held from {first} to {last} for 7031" in shown
        assert f"inch set is held from {first} to {last} for 7031 already" in shown
        await at.type("escape")
        assert f"held {first} to {last} for 7031" in " ".join(at.words("#record").split())
        await at.type("ctrl+o")
        assert [row[1:3] for row in at.rows] == [(f"{first} to {last}", tag) for tag in ("B-250", "S-1")]
        await at.type("f3")
        assert (at.typed("first"), at.typed("last")) == (str(first), str(last))
        await at.type("enter", "escape", "=7031")
        assert [row[2] for row in at.rows] == ["S-1"]
        assert "1 hold, 0 for today" in at.words("#title")
        await at.type("ctrl+u", "escape", "f5")
        shown = " ".join(at.words("#history").split())
        assert f"held {first} to {last} for 7031" in shown
        assert f"released {first} to {last} from 7031" in shown

    attend(filled_file, act)

    assert [show_piece(filled_file, tag).holds for tag in ("B-250",)] == [()]


def test_wear_is_booked_inspected_and_ground_off_with_the_check_beside_it(filled_file: str) -> None:
    change_setting(filled_file, "regrind_cuts", "5")

    async def act(at: Attending) -> None:
        await at.type("f8", "ctrl+g")
        assert at.rows[0][:3] == ("", "B-250", "0")
        await at.type("f8", "=2 x 3 x 1 in", "enter", "escape")
        assert at.rows[0][:5] == ("DUE", "B-250", "6", "6.0000 in", "6")
        assert "due for a regrind: 6 cuts" in at.words("#about")
        await at.type("f6", "f3", "enter", "escape")
        await at.type("enter")
        assert "a broach   worn" in at.words("#title")
        await at.type("ctrl+s")
        await at.type("=0.401 in")
        assert "no tooth higher" in at.words("#said")
        await at.type("ctrl+u", "=0.3998 in", "enter", "=0.4498 in")
        assert "came down, as measured: first tooth 0.0002 in, last tooth 0.0002 in" in at.words("#check")
        line = at.app.screen.query_one("#ground_off")
        line.focus()
        await at.type("=0.005 in", "enter", "=2 deg")
        assert "by geometry: 0.0002 in each" in at.words("#check").replace("\n", " ")
        await at.type("f2")
        assert at.name == "piece"
        assert "a broach   fit" in at.words("#title")

    attend(filled_file, act)

    (worn,) = list_due(filled_file).broaches
    assert worn.wear.since_regrind[0] == 0
    broach = show_piece(filled_file, "B-250").record.piece
    assert isinstance(broach, Broach)
    assert broach.first_tooth_height == Length.inches("0.3998")


def test_a_broach_is_sent_out_received_and_worked_off_the_list_of_what_to_inspect(filled_file: str) -> None:
    back = date.today() + timedelta(days=5)

    async def act(at: Attending) -> None:
        await at.type("f8", "=B-250", "enter")
        await at.type("f10")
        letters = at.words("#modal-text")
        assert all(words in letters for words in ("take a new piece in", "labels with a QR code, as a PDF"))
        await at.type("g")
        await at.type("=Northside", "down", "=+5", "enter")
        assert f"B-250 is sent to Northside, expected back {back}" in " ".join(at.words("#results").split())
        await at.type("escape", "f10", "v", "enter", "escape")
        # Another one comes back while nobody has time to look at it.
        await at.type("ctrl+l", "=S-1", "enter", "=Kim", "enter", "escape")
        await at.type("ctrl+r", "=S-1", "f7", "enter", "escape")
        await at.type("f10", "n")
        assert {row[0] for row in at.rows} == {"B-250", "S-1"}
        assert "2 pieces back and not yet inspected" in at.words("#title")
        await at.type("=B-250", "f2", "f7", "f2", "enter", "escape", "ctrl+u")
        assert [row[0] for row in at.rows] == ["S-1"]
        await at.type("f10", "x", "down", "=not in the box", "enter", "escape", "f10", "m")
        assert [row[0] for row in at.rows] == ["S-1"]

    attend(filled_file, act)

    assert show_piece(filled_file, "B-250").state == "fit"


def test_boxes_are_filled_and_emptied_and_a_past_day_shows_what_was_then(filled_file: str) -> None:
    yesterday = date.today() - timedelta(days=1)

    async def act(at: Attending) -> None:
        await at.type("f8", "f4")
        await at.type("f2", "=S-1", "enter", "=G-1000", "enter", "escape")
        assert at.rows[0][:2] == ("inch set", "3")
        await at.type("enter", "down")
        await at.type("f3", "enter", "escape")
        await at.type("escape")
        assert at.rows[0][:2] == ("inch set", "2")
        await at.type("ctrl+y")
        assert {row[0]: row[-1] for row in at.rows}["S-1"] == "inch set"
        await at.type("f2")
        assert f"end of {yesterday}" in at.words("#title")
        assert {row[0]: row[-1] for row in at.rows}["S-1"] == ""
        await at.type("=2999-01-01", "enter")
        assert "a day in the future" in at.words("#said")
        # Nor is there a day before the first of the calendar.
        await at.type("ctrl+u", "=0001-01-01", "enter")
        await at.type("f2")
        assert "0001-01-01 is as far as the calendar goes" in at.words("#said")
        assert "end of 0001-01-01" in at.words("#title")
        await at.type("ctrl+u", f"={date.today()}", "enter")
        await at.type("=inch")
        assert {row[0] for row in at.rows} == {"B-250", "S-1"}

    attend(filled_file, act)

    assert [piece.tag for piece in list_sets(filled_file)[0].pieces] == ["B-250", "S-1"]


@pytest.mark.parametrize(
    ("fields", "name", "text", "reason"),
    [
        (HOLD, "first", "+3", ""),
        (HOLD, "last", "2031-05-28", ""),
        (HOLD, "first", "soon", "day: read “soon”; write a day"),
        (HOLD, "for_what", "x" * 101, "at most 100"),
        (BOOK, "has_cut", "3 hubs", "write hubs x passes x hub length"),
    ],
)
def test_a_line_says_why_a_text_will_not_do(fields: object, name: str, text: str, reason: str) -> None:
    assert isinstance(fields, tuple)
    field = next(each for each in fields if each.name == name)

    found = field.reason_against(text, {})

    assert reason in found
    assert bool(found) == bool(reason)


def test_a_regrind_asks_for_both_heights_and_checks_the_figures_of_the_check(filled_file: str) -> None:
    record = show_piece(filled_file, "B-250").record
    fields = {field.name: field for field in lines_of(record, Units.INCH)}

    assert [name for name, field in fields.items() if field.needed] == [
        "first_tooth_height",
        "last_tooth_height",
    ]
    assert fields["root_height"].hint == "(was 0.3000 in)"
    assert "above 0 and below 45" in reason_against(fields["relief"], "60 deg", {}, record)
    assert "without a unit" in reason_against(fields["ground_off"], "0.005", {}, record)
    assert geometry({"ground_off": "0.005 in", "relief": "no"}) is None


def test_every_result_says_what_was_done(filled_file: str) -> None:
    booked = book_cuts(filled_file, "B-250", Booking(1, 1, Length.inches(1)))

    assert booked.lines == ("B-250: total 1 cut, 1.0000 in; no inspection on record",)
    assert Booked("B-250", Wear(), ("due for it",), Units.INCH).lines[-1] == "due for it"
    assert Inspected("B-250", Condition.FIT, Condition.FIT).lines == ("B-250 is fit, as before",)
    assert "keep it apart" in Inspected("B-250", Condition.FIT, Condition.WORN).lines[0]


def test_what_went_into_which_box_is_said() -> None:
    both = Moved(("S-1", "S-2"), "box Elm", "box Oak")

    assert both.lines == ("S-1, S-2 taken out of set box Elm and put into set box Oak",)
    assert Moved(("S-1",), "box Elm", "").lines == ("S-1 taken out of set box Elm",)
    assert Moved((), "", "box Oak").lines == ("all of it is in set box Oak already",)
