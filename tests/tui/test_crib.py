"""The attendant's desk: the list of pieces, narrowed by what is typed, and one piece opened by its tag."""

from __future__ import annotations

from dataclasses import replace
from time import process_time

from broachplan.crib.records import Record
from broachplan.errors import StorageError
from broachplan.lengths import Units
from broachplan.settings import Settings
from tests.tui.answers import BUSHING, PRESS, SHELF, Bench, shim
from tests.tui.attending import Attending, attend
from tests.tui.driving import Drive, drive
from tui.crib_rows import ListedPiece, figures_sheet, lines, matching, summary, with_tag
from tui.sheet import sheet_text
from tui.widgets.entry import EntryLine
from tui.widgets.ledger import Ledger


def test_the_list_is_narrowed_by_what_is_typed_and_a_scanned_tag_opens_its_piece() -> None:
    async def act(at: Drive) -> None:
        await at.press("f8")
        assert "5 of 5 pieces, 1 out, 1 OVERDUE" in at.words("#title")
        await at.press(*"lent")
        assert [row[0] for row in at.app.screen.query_one(Ledger).rows] == ["GB-1000-1"]
        assert "1 of 5" in at.words("#title")
        assert "web 0.4600 in" in " ".join(at.words("#figures").split())
        assert "home drawer 2" in at.words("#summary")
        await at.press("enter")
        assert at.app.screen.name == "piece"
        assert "GB-1000-1   a bushing   OVERDUE, lent to Tomas" in at.words("#title")
        # Back again, the next text typed replaces the one in the line.
        await at.press("escape", *"cheese")
        assert "No piece has all this" in at.screen()
        at.app.screen.query_one("#filter", EntryLine).value = "br-250-b"
        await at.press("enter")
        assert at.words("#title").startswith("BR-250-B")
        await at.press("escape")
        assert at.app.screen.query_one("#filter", EntryLine).value == ""
        await at.press("escape")
        assert at.app.screen is at.desk

    drive(act)


def test_a_press_is_taken_into_the_form_and_units_change_in_the_list_too() -> None:
    async def act(at: Drive) -> None:
        await at.press("f8", "f2", "f9", "f9")
        assert at.app.screen.name == "crib"
        assert "mm" in at.app.screen.query_one(Ledger).rows[0][2]
        assert "mm" in at.words("#figures")
        await at.press("down", "down", "down", "down", "f2")
        assert at.app.screen is at.desk
        assert at.desk.query_one("#press", EntryLine).value == PRESS.tag

    drive(act)


def test_a_crib_that_cannot_be_read_says_why() -> None:
    async def act(at: Drive) -> None:
        await at.press("f8")
        assert "the file is in use" in at.words("#title")

    drive(act, bench=Bench(pieces=StorageError("the file is in use")))


def test_the_line_finds_by_words_by_sizes_and_by_what_serves() -> None:
    every = lines(SHELF, Units.INCH)

    for words, tags in (
        ("br-250", ["BR-250-A", "BR-250-B"]),
        ("shim", ["SH-055"]),
        ("0.9990", ["GB-1000-1"]),
        ("drawer broach", ["BR-250-A", "BR-250-B"]),
        ("worn broach", ["BR-250-B"]),
        ("overdue tomas", ["GB-1000-1"]),
        ("ida micrometer gb", ["GB-1000-1"]),
        # The bushing's diameter is near enough, and it fits: it comes before pieces of about that size.
        ("1 in", ["GB-1000-1"]),
        ("cuts 1/4 in", ["BR-250-A", "BR-250-B"]),
        # A size that is still being typed is not yet looked for.
        ("br-250 cuts 1/", ["BR-250-A", "BR-250-B"]),
        ("", [listed.record.piece.tag for listed in SHELF]),
    ):
        assert [line.row[0] for line in matching(every, words, Settings())] == tags


def test_a_size_finds_what_fits_or_cuts_it_and_says_why_while_it_is_typed() -> None:
    async def act(at: Attending) -> None:
        await at.type("f8", "=drawer fits 1")
        assert [row[0] for row in at.rows] == ["BR-250-A", "BR-250-B", "GB-1000-1"]
        assert "fits 1 ...: a size and its unit" in at.words("#summary")
        await at.type("= in")
        assert [(row[0], row[-1]) for row in at.rows] == [("GB-1000-1", "fits")]
        assert at.words("#summary").startswith("GB-1000-1: fits a bore of 1 in; OVERDUE")
        await at.type("ctrl+u", "=1/4 in")
        assert [row[-1] for row in at.rows] == ["cuts", "cuts", "slot width", "width"]
        await at.type("=x" * 200)
        assert "at most 200" in at.screen()

    attend(None, act, desks=Bench().desks())


def test_a_tag_is_meant_when_it_is_typed_whole_in_letters_of_either_case() -> None:
    every = lines([*SHELF, ListedPiece(Record(piece=replace(BUSHING, tag="sh-055")), "fit")], Units.INCH)

    assert [with_tag(every, typed) for typed in ("BR-250-A", "br-250-b", "BR-250", "")] == [
        "BR-250-A",
        "BR-250-B",
        None,
        None,
    ]
    assert [with_tag(every, typed) for typed in ("SH-055", "sh-055", "Sh-055")] == ["SH-055", "sh-055", None]


def test_a_figure_nobody_measured_says_so_in_full_and_is_left_out_in_short() -> None:
    text = sheet_text(figures_sheet(SHELF[2], Units.INCH), 46).plain

    assert "collar height    not measured" in text
    assert "micrometer, 2026-03-02, by Ida" in text
    (line,) = matching(lines(SHELF, Units.INCH), "fits 1 in", Settings())
    assert "collar" not in summary(line, Units.INCH)
    assert summary(line, Units.INCH).startswith("GB-1000-1: fits a bore of 1 in; OVERDUE")


def test_hidden_characters_in_a_note_do_not_reach_the_screen() -> None:
    listed = ListedPiece(Record(piece=BUSHING, note="bent\x1b[2J"), "fit")

    assert "\x1b" not in sheet_text(figures_sheet(listed, Units.INCH), 46).plain


def test_ten_thousand_pieces_are_quick_to_type_in() -> None:
    """Best of the keys, processor time: a shared machine may stop any one of them."""
    shims = [
        ListedPiece(Record(piece=replace(shim("0.055"), tag=f"S{n}"), home="box"), "fit")
        for n in range(10_000)
    ]
    taken = []

    async def act(at: Attending) -> None:
        await at.type("f8")
        for key in "s99 fit":
            start = process_time()
            await at.pilot.press(key)
            taken.append(process_time() - start)
        assert "111 of 10000" in at.words("#title")

    attend(None, act, desks=Bench(pieces=shims).desks())

    assert min(taken) < 0.1
