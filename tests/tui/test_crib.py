"""The crib's list."""

from __future__ import annotations

from dataclasses import replace
from time import process_time

from broachplan.crib.records import Record
from broachplan.errors import StorageError
from broachplan.lengths import Units
from tests.tui.answers import BUSHING, PRESS, SHELF, Bench, shim
from tests.tui.driving import Drive, drive
from tui.crib_rows import figures_text, lines, matching
from tui.desks import Listed
from tui.widgets.entry import Entry
from tui.widgets.ledger import Ledger


def test_the_list_is_narrowed_by_what_is_typed_and_shows_a_pieces_figures() -> None:
    async def act(at: Drive) -> None:
        await at.press("f8")
        assert "5 of 5" in at.words("#title")
        at.app.screen.query_one("#filter", Entry).value = "lent"
        await at.settle()
        assert [row[0] for row in at.app.screen.query_one(Ledger).rows] == ["GB-1000-1"]
        assert "1 of 5" in at.words("#title")
        assert "web                  0.4600 in" in at.words("#figures")
        assert "lent to Tomas" in at.words("#figures")
        at.app.screen.query_one("#filter", Entry).value = "cheese"
        await at.settle()
        assert "No piece has all these words" in at.screen()
        await at.press("escape")
        assert at.app.screen is at.desk

    drive(act)


def test_a_press_is_taken_into_the_form_and_other_pieces_are_not() -> None:
    async def act(at: Drive) -> None:
        await at.press("f8", "enter")
        assert at.app.screen.name == "crib"
        await at.press("down", "down", "down", "down", "enter")
        assert at.app.screen is at.desk
        assert at.desk.query_one("#press", Entry).value == PRESS.tag

    drive(act)


def test_a_crib_that_cannot_be_read_says_why() -> None:
    async def act(at: Drive) -> None:
        await at.press("f8")
        assert "the file is in use" in at.words("#title")

    drive(act, bench=Bench(pieces=StorageError("the file is in use")))


def test_units_change_in_the_list_too() -> None:
    async def act(at: Drive) -> None:
        await at.press("f8", "f9", "f9")
        assert "mm" in at.app.screen.query_one(Ledger).rows[0][2]
        assert "mm" in at.words("#figures")

    drive(act)


def test_a_filter_looks_in_tag_kind_size_home_and_state() -> None:
    every = lines(SHELF, Units.INCH)

    for words, tags in (
        ("br-250", ["BR-250-A", "BR-250-B"]),
        ("shim", ["SH-055"]),
        ("0.9990", ["GB-1000-1"]),
        ("drawer broach", ["BR-250-A", "BR-250-B"]),
        ("worn broach", ["BR-250-B"]),
        ("", [listed.record.piece.tag for listed in SHELF]),
    ):
        assert [line.row[0] for line in matching(every, words)] == tags


def test_a_figure_nobody_measured_says_so() -> None:
    text = figures_text(SHELF[2], Units.INCH).plain

    assert "collar height        not measured" in text
    assert "micrometer, 2026-03-02, by Ida" in text


def test_hidden_characters_in_a_note_do_not_reach_the_screen() -> None:
    listed = Listed(Record(piece=BUSHING, note="bent\x1b[2J"), "fit")

    assert "\x1b" not in figures_text(listed, Units.INCH).plain


def test_ten_thousand_pieces_are_filtered_in_less_than_a_frame_takes_to_notice() -> None:
    """Best of five, processor time: a shared machine may stop any one of them."""
    shims = [
        Listed(Record(piece=replace(shim("0.055"), tag=f"S{n}"), home="box"), "fit") for n in range(10_000)
    ]
    every = lines(shims, Units.INCH)
    taken = []
    for _ in range(5):
        start = process_time()
        found = matching(every, "s99 fit")
        taken.append(process_time() - start)

    assert len(found) == 111
    assert min(taken) < 0.1
