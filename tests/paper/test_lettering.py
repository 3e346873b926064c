"""Words and tags set into a box: wrapped, shrunk, cut; tags never cut."""

from __future__ import annotations

import pytest

from broachplan.paper.lettering import Font, Room, loaded, set_tag, set_words, turned, width_of

ROOM = Room(width=100, height=40, largest=20, least=6)


def test_words_that_fit_are_set_in_the_largest_size() -> None:
    assert set_words("A/1", ROOM).size == 20
    assert set_words("A/1", ROOM).lines == ("A/1",)


def test_words_too_wide_are_wrapped_at_spaces_before_they_shrink_far() -> None:
    block = set_words("the box under the east bench", ROOM)

    assert " ".join(block.lines) == "the box under the east bench"
    assert len(block.lines) > 1
    assert block.height <= 40


def test_words_too_long_for_the_least_size_are_cut_with_an_ellipsis() -> None:
    block = set_words("x" * 300, ROOM)

    assert block.size == 6
    assert block.lines[-1].endswith("x…")
    assert all(width_of(line, Font.WORDS, 6) <= 100 for line in block.lines)
    assert block.height <= 40 < block.height + 6 * block.spread


@pytest.mark.parametrize(
    ("tag", "lines"),
    [
        ("B-250", ("B-250",)),
        ("GU-0750-0188-A", ("GU-0750-", "0188-A")),
        ("ABCDEFGHIJKLMNOPQR", ("ABCDEFGHI", "JKLMNOPQR")),
        ("BOX OF THE EAST", ("BOX OF␣", "THE EAST")),
    ],
)
def test_a_tag_is_wrapped_at_its_signs_and_else_in_the_middle(tag: str, lines: tuple[str, ...]) -> None:
    assert set_tag(tag, ROOM).lines == lines


def test_a_tag_without_room_is_never_cut() -> None:
    with pytest.raises(ValueError, match=r"^a tag of 40 characters has no room in Room\(width=20,"):
        set_tag("W" * 40, Room(width=20, height=20, largest=20, least=6))


@pytest.mark.parametrize(
    ("line", "drawn"),
    [
        ("A/1 · box Alder", "A/1 · box Alder"),
        ("A/1 · \u05d0\u05d1 \u05d2\u05d3 · 5", "A/1 · \u05d3\u05d2 \u05d1\u05d0 · 5"),
        ("\u05d0\u05d1", "\u05d1\u05d0"),
    ],
)
def test_words_written_from_right_to_left_are_turned_around(line: str, drawn: str) -> None:
    assert turned(line) == drawn


def test_widths_are_those_that_the_writer_of_pdfs_goes_by() -> None:
    from reportlab.pdfbase import pdfmetrics

    for font in Font:
        loaded(font)
        text = "GU-0750-0188-A W|lO01I @"
        assert width_of(text, font, 10) == pytest.approx(pdfmetrics.stringWidth(text, font.value, 10))


def test_the_font_of_words_has_fractions_and_other_scripts() -> None:
    assert {*map(ord, "½⅛1⁄4ÅйΩא″±…·□")} <= set(loaded(Font.WORDS))
