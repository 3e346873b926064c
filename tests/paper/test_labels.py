"""Labels: what a scanner reads on them, the words beside it, and that nothing leaves its label."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from broachplan.crib.records import Condition, Measurement, Record
from broachplan.lengths import Length, Units
from broachplan.paper.grids import Grid, grid_named, grids
from broachplan.paper.labels import Label, Layout, label_of, labels_pdf, lay_out
from broachplan.paper.lettering import DESCENT, Font, width_of
from broachplan.paper.qr import BORDER
from broachplan.tooling.pieces import Bushing
from broachplan.tooling.tags import LONGEST_TAG, checked_tag
from tests.paper.pages import darkest_outside, pictures, scanned

SMALLEST = grid_named("a4-5x13")
DOT = 72 / 300
SLOW = settings(max_examples=2, deadline=None, suppress_health_check=list(HealthCheck))
# Every character that a tag may hold, at both ends and beside each other, and the longest.
SIGNS = "".join(map(chr, range(33, 127))).replace(",", "")
HARD = ["A", "0" * 40, "W" * 40, "a" + " " * 38 + "z", "l1IO0o|", *(f"x{sign} {sign}" for sign in SIGNS)]
tags = st.from_regex(r"[A-Za-z0-9](?:[ -+\--~]{0,38}[!-+\--~])?", fullmatch=True).map(checked_tag)
words = st.text(max_size=220)


@SLOW
@given(st.lists(tags, min_size=30, max_size=30), words)
def test_every_tag_of_a_page_is_scanned_as_it_is(tags: list[str], where: str) -> None:
    grid = grid_named("letter-3x10")
    labels = [Label(tag, "bushing 1-15/16 in, slot 0.3160 in", where) for tag in tags]

    pdf, pages = labels_pdf(labels, grid)

    (page,) = pictures(pdf)
    assert pages == 1
    assert scanned(page, grid, len(tags)) == tags


def test_every_character_that_a_tag_may_hold_is_scanned_on_the_smallest_labels() -> None:
    pdf, pages = labels_pdf([Label(tag, "broach 1/4 in", "A/1") for tag in HARD], SMALLEST)

    read = [tag for page in pictures(pdf) for tag in scanned(page, SMALLEST, SMALLEST.labels)[: len(HARD)]]

    assert pages == 2
    assert [tag for tag in read if tag] == HARD


@pytest.mark.parametrize("grid", grids().values(), ids=list(grids()))
def test_the_longest_label_keeps_off_the_edges_and_its_modules_are_wide_enough_to_scan(grid: Grid) -> None:
    label = Label("W" * LONGEST_TAG, "bushing 1-15/16 in, slot 0.3160 in", "Å" * 400)

    (page,) = pictures(labels_pdf([label], grid)[0])

    assert darkest_outside(page, grid, inset=3.5) == 255
    assert darkest_outside(page, grid, inset=12) < 255
    assert lay_out(label, grid).module >= 4 * DOT


@settings(max_examples=25, deadline=None)
@example("B-250", "broach 1/4 in", "\u202egnirts \U0001f600 \ufdfd \u05d0\u05d1\u05b8 12 \ud800 \x00\x1b[31m")
@example("A" + "-" * 39, "x " * 200, "\u0e49" * 220)
@given(tags, words, words)
def test_whatever_the_words_lines_stay_beside_the_code_and_within_the_label(
    tag: str, size: str, where: str
) -> None:
    for grid in (SMALLEST, grid_named("a4-3x8-70x37")):
        layout = lay_out(Label(tag, size, where), grid)
        cell = grid.cell(0)
        beside = layout.code_x + (layout.code.side + BORDER) * layout.module

        assert (
            "".join(line.text for line in layout.lines if line.font is Font.TAG).replace("\u2423", " ") == tag
        )
        for line in layout.lines:
            assert line.size >= 5
            assert line.x >= beside - 1e-6
            assert line.x + width_of(line.text, line.font, line.size) <= cell.width - 4
            assert line.y - DESCENT * line.size >= 4
        feet = [line.y for line in layout.lines]
        assert feet == sorted(feet, reverse=True)
        assert feet[0] + 0.8 * layout.lines[0].size <= cell.height - 4


def test_what_no_font_has_is_drawn_as_boxes() -> None:
    layout = lay_out(Label("B-250", "broach 1/4 in", "漢\x1b A/1"), SMALLEST)

    assert layout.lines[-1].text.replace("\xa0", " ") == "□□ A/1"
    labels_pdf([Label("B-250", "broach", "קופסה 漢 \U0001f600")], SMALLEST)  # does not fall over


def test_the_tag_is_the_largest_and_the_place_the_smallest() -> None:
    tag, size, where = sizes(
        lay_out(Label("BR-0250-A", "broach 1/4 in", "A/1/02"), grid_named("letter-3x10"))
    )

    assert tag > size > where


def sizes(layout: Layout) -> list[float]:
    return [line.size for line in layout.lines]


def test_a_code_is_as_large_as_the_label_lets_it_in_whole_dots_of_a_printer() -> None:
    layout = lay_out(Label("BR-0250-A", "broach 1/4 in", ""), grid_named("letter-3x10"))

    assert layout.code.side == 21
    assert layout.module / DOT == pytest.approx(10)
    assert layout.code_x >= BORDER * layout.module


def test_the_same_labels_are_the_same_bytes() -> None:
    labels = [Label(f"S-{number}", "shim 0.0312 in", "ящик 5") for number in range(40)]

    first, second = (labels_pdf(labels, grid_named("letter-3x10")) for _ in range(2))

    assert first == second
    assert first[0] != labels_pdf(labels[:-1], grid_named("letter-3x10"))[0]


def test_a_part_used_sheet_begins_at_the_label_asked_for_and_goes_on_overleaf() -> None:
    grid = grid_named("letter-2x5")
    shown: list[tuple[int, int]] = []

    pdf, pages = labels_pdf(
        [Label(tag, "pin 1/2 in", "") for tag in ("N-1", "N-2", "N-3")],
        grid,
        9,
        lambda *done: shown.append(done),
    )

    first, second = pictures(pdf)
    assert pages == 2
    assert scanned(first, grid, 10) == [*[""] * 8, "N-1", "N-2"]
    assert scanned(second, grid, 10) == ["N-3", *[""] * 9]
    assert shown == [(1, 3), (2, 3), (3, 3)]


def test_a_label_shows_tag_size_home_and_set() -> None:
    bushing = Bushing(tag="G-1", outside_diameter=Length.inches("1.4988"), slot_width=Length.inches("0.3774"))
    record = Record(
        piece=bushing,
        set_name="box Alder",
        home="B/4/03",
        condition=Condition.WORN,
        measured=Measurement("micrometer", date(2031, 5, 2), "Kim"),
    )

    assert label_of(record, Units.INCH) == Label("G-1", "bushing 1-1/2 in, slot 3/8 in", "B/4/03 · box Alder")
    assert label_of(Record(piece=bushing), Units.INCH).where == ""
