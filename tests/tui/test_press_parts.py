"""The parts of the screen at the press: what is typed, the bar of the limits, which shims go in."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.lengths import Length, Limits, System, Units
from broachplan.tooling.pieces import Shim
from tests.tui.answers import inch
from tui.press.bar import limits_bar
from tui.press.cautions import CAUTION, first_push, next_push
from tui.press.reading_words import not_usual
from tui.press.stack_words import in_short, put_in
from tui.press.typed import (
    Nothing,
    Number,
    PadChoice,
    PadKey,
    Typed,
    TypedReading,
    Unread,
    opened,
    read_typed,
)

LIMITS = Limits(inch("1.1191"), inch("1.1141"), inch("1.1241"))


@pytest.mark.parametrize("line", ["", "   ", "-", "+", "/", "*", " * "])
def test_an_empty_enter_and_a_key_without_its_digit_do_nothing(line: str) -> None:
    assert read_typed(line, System.INCH) == Nothing()


@pytest.mark.parametrize(
    ("line", "meant"),
    [
        ("3", Number(3)),
        ("12", Number(12)),
        ("*3", PadChoice(PadKey.TROUBLE, 3)),
        ("-1", PadChoice(PadKey.BACK, 1)),
        ("+2", PadChoice(PadKey.MORE, 2)),
        ("/4", PadChoice(PadKey.HOW_TO, 4)),
        ("1.0739", TypedReading(("1.0739 in",), (inch("1.0739"),))),
        (".47", TypedReading(("0.47 in",), (inch("0.47"),))),
        ("27.2771 mm", TypedReading(("27.2771 mm",), (Length.mm("27.2771"),))),
        ("1.1206/1.121", TypedReading(("1.1206 in", "1.121 in"), (inch("1.1206"), inch("1.121")))),
    ],
)
def test_the_pad_types_passes_readings_and_lines_of_a_list(line: str, meant: Typed) -> None:
    assert read_typed(line, System.INCH) == meant


def test_bare_digits_are_read_in_the_unit_of_the_hub_and_a_pad_with_a_comma_serves_as_well() -> None:
    assert read_typed("28.305", System.METRIC) == TypedReading(("28.305 mm",), (Length.mm("28.305"),))
    assert read_typed("28,305", System.METRIC) == read_typed("28.305", System.METRIC)


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("10739", "without a point"),
        ("1074", "without a point"),
        ("1..07", "write a number"),
        ("*x", "one digit of the list"),
        ("1.1/1.2/1.3", "of two ends"),
        ("hub", "write a number"),
    ],
)
def test_what_cannot_be_meant_is_refused_with_what_was_read(line: str, why: str) -> None:
    shown = read_typed(line, System.INCH)

    assert isinstance(shown, Unread)
    assert why in shown.why
    assert line.split("/")[0] in shown.why


def test_a_reading_whose_point_was_missed_is_never_taken_for_a_pass() -> None:
    assert not isinstance(read_typed("1119", System.METRIC), Number)


def test_a_key_shows_its_list_while_it_is_typed() -> None:
    assert [opened(line) for line in ("*", "*7", "-", "1", "", "1.07/1.08")] == [
        PadKey.TROUBLE, PadKey.TROUBLE, PadKey.BACK, None, None, None,
    ]  # fmt: skip


@given(st.text(alphabet="0123456789.,+-*/ \t\x1b[]x", max_size=12))
def test_no_line_breaks_the_reader_and_only_digits_book_a_pass(line: str) -> None:
    shown = read_typed(line, System.INCH)

    assert not isinstance(shown, Number) or line.strip().isdigit()
    assert not isinstance(shown, TypedReading) or all(each.nm > 0 for each in shown.lengths)


@given(st.integers(-400, 800), st.integers(46, 160))
def test_the_bar_shows_by_its_place_alone_whether_a_reading_is_within_the_limits(
    tenths: int, columns: int
) -> None:
    reading = LIMITS.lower + Length(2540 * tenths)

    bar, figures = limits_bar(LIMITS, [reading], Units.INCH, columns)

    assert len(bar) <= columns
    assert len(figures) <= columns
    first, last = bar.index("│"), bar.rindex("│")
    assert first < last
    mark = next(place for place, sign in enumerate(bar) if sign in "●◀▶")
    assert (first < mark < last) == (reading in LIMITS)
    assert (mark < first) == (reading < LIMITS.lower)


def test_the_bar_shows_both_limits_and_the_reading_and_gives_way_where_there_is_no_room() -> None:
    bar, figures = limits_bar(LIMITS, [inch("1.1206")], Units.INCH, 78)

    assert bar.startswith("too shallow ")
    assert bar.endswith(" too deep")
    assert figures.split() == ["1.1141", "1.1241"]
    assert limits_bar(LIMITS, [inch("1.1300")], Units.INCH, 78)[1].split() == ["1.1141", "1.1241", "1.1300"]
    assert limits_bar(LIMITS, [inch("1.1206")], Units.INCH, 20) == []


def shim(tag: str, text: str) -> Shim:
    return Shim(tag=tag, thickness=inch(text), width=inch("0.245"))


ONE, TWO, THICK, THIN = (
    shim("SH-1", "0.0469"),
    shim("SH-2", "0.0470"),
    shim("SH-3", "0.0620"),
    shim("SH-4", "0.0050"),
)


def test_no_shim_is_said_in_words() -> None:
    shown = put_in((), (), Units.INCH)

    assert (shown.heading, shown.figure) == ("PUT IN", "NO SHIM")
    assert shown.lines == ("The broach lies on the slot floor.",)
    assert in_short((), Units.INCH) == "no shim"


@pytest.mark.parametrize(
    ("before", "stack", "heading", "figure"),
    [
        ((), (TWO,), "PUT IN", ".0470"),
        ((TWO,), (TWO, ONE), "LEAVE .0470 IN, ADD BEHIND IT", ".0469"),
        ((TWO,), (TWO, THICK), "LEAVE .0470 IN, ADD NEXT TO THE BROACH", ".0620"),
        ((THIN, THICK), (THIN, THICK, TWO), "LEAVE .0050 AND .0620 IN, ADD AS BELOW", ".0470"),
        ((TWO,), (ONE,), "TAKE OUT .0470, PUT IN", ".0469"),
        ((TWO, THIN), (TWO, ONE), "TAKE OUT .0050, LEAVE .0470 IN, ADD BEHIND IT", ".0469"),
        ((TWO, THIN), (TWO,), "TAKE OUT .0050, LEAVE IN", ".0470"),
        ((TWO, ONE), (ONE, TWO), "LEAVE IN", ".0939"),
        ((), (ONE, TWO), "PUT IN 2 SHIMS, IN TOTAL", ".0939"),
        ((TWO,), (), "TAKE OUT .0470", "NO SHIM"),
    ],
)  # fmt: skip
def test_what_stays_in_and_what_is_added_is_said(
    before: tuple[Shim, ...], stack: tuple[Shim, ...], heading: str, figure: str
) -> None:
    shown = put_in(before, stack, Units.INCH)

    assert (shown.heading, shown.figure) == (heading, figure)


def test_the_thinnest_shim_lies_on_the_slot_floor_and_thickness_comes_before_the_tag() -> None:
    assert put_in((), (THICK, TWO, THIN), Units.INCH).lines == (
        ".0050 on the slot floor  (SH-4)",
        ".0470 on that one  (SH-2)",
        ".0620 at the broach  (SH-3)",
    )
    assert in_short((THICK, THIN), Units.MM) == "0.127 + 1.575"


def test_the_cautions_of_a_step_are_short_and_name_the_lever_before_the_hand() -> None:
    first, later = first_push("900 to 1,650 lbf"), next_push("900 to 1,650 lbf", shim=True)

    assert all(len(line) <= 78 for line in (*first, *later))
    said = " ".join(first)
    order = [
        said.index(word) for word in ("Oil", "Start light", "Let the ram up", "Push", "breaks through", "pad")
    ]
    assert order == sorted(order)
    assert "hand off the lever" in later[0]
    assert sum(line.startswith(CAUTION) for line in later) >= 3


def test_of_the_stacks_that_a_doubtful_reading_is_like_only_the_three_nearest_are_read_out() -> None:
    stacks = [(ONE,), (TWO,), (ONE, TWO), (ONE,), (TWO,)]

    assert not_usual(stacks, Units.INCH)[1].count("; or ") == 2
    assert len(not_usual((), Units.INCH)) == 1
