"""Setting a Woodruff cutter: heights, places, feeds and readings."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Point

from broachplan.errors import InputError
from broachplan.keyways.key import read_number
from broachplan.keyways.milling_card import Card, State, WoodruffSetup
from broachplan.keyways.milling_woodruff import chord_at
from broachplan.keyways.parallel import joint
from broachplan.lengths import Length
from broachplan.questions.read_keyseat import read_card
from broachplan.questions.shaft import KeyseatQuestion
from broachplan.standards.named import Standard
from broachplan.standards.woodruff import inch_woodruffs

IN_ITS_TIME = settings(deadline=None)  # a busy machine is no failure
NO_406 = KeyseatQuestion(shaft="7/8 in", number="406")
NO_607 = KeyseatQuestion(shaft="13/16 in", number="607")
TENTH = Length.inches("0.00005")


def inches(text: str) -> Length:
    return Length.inches(text)


def setup(written: KeyseatQuestion) -> tuple[Card, WoodruffSetup]:
    card = read_card(written)
    assert card.woodruff is not None
    return card, card.woodruff


def test_number_406_in_seven_eighths_feeds_0_2455_from_the_edge_and_y_more_from_the_crown() -> None:
    """ASME B17.2 by Shigley (Table 7-7) and Mott (Table 11-3): 0.2455 in deep, tabled at the edge."""
    card, woodruff = setup(NO_406)
    arc = (Fraction(7, 8) - Fraction("0.866025")) / 2

    assert woodruff.at_edge == inches("0.2455")
    assert abs(card.depth.nominal - woodruff.at_edge - Length.inches(arc)) <= TENTH
    assert card.depth.lower == card.depth.nominal


def test_number_406_reads_0_933_to_0_938_over_a_shaft_of_seven_eighths() -> None:
    """Common practice, no source: for a key of 0.308 to 0.313 in and the nominal seat, by the edge datum."""
    low, high = (read_card(replace(NO_406, key_height=f"{height} in")) for height in ("0.308", "0.313"))

    assert abs(low.over_key.nominal - inches("0.933")) <= inches("0.0005")
    assert abs(high.over_key.nominal - inches("0.938")) <= inches("0.0005")


@pytest.mark.parametrize("number", [row.number for row in inch_woodruffs()])
def test_card_and_joint_give_one_figure_over_a_key_on_size(number: str) -> None:
    """B + C over the seat: exactly the projection over the edge in the table."""
    shaft = inches("2.25")
    size = read_number(number)

    card = read_card(KeyseatQuestion(shaft="2-1/4 in", number=number))

    assert card.over_key.nominal == joint(shaft, standard=Standard.WOODRUFF, key=size).over_key
    assert card.over_key_stock is not None
    tallest = card.floor.upper + size.height if size.height else None
    assert card.over_key_stock.upper == tallest


def test_number_808_in_an_inch_reads_1_1091_on_size_and_1_1141_with_the_tallest_key() -> None:
    """By hand: D - y + C = 1 - 0.01588 + 0.125 in; the key may be 0.438 high where 0.433 is on size."""
    card = read_card(KeyseatQuestion(shaft="1 in", number="808"))

    assert card.over_key.nominal.nm / 25_400_000 == pytest.approx(1.1091, abs=0.00005)
    assert card.over_key_stock is not None
    assert card.over_key_stock.upper.nm / 25_400_000 == pytest.approx(1.1141, abs=0.00005)


def test_the_centre_s_height_is_half_the_cutter_s_width_and_half_the_shaft() -> None:
    _, woodruff = setup(NO_607)

    assert (woodruff.half_cutter, woodruff.half_shaft) == (inches("3/32"), inches("13/32"))
    assert woodruff.height == inches("1/2")


def test_the_key_s_place_is_given_from_the_cutter_s_rim_and_from_a_finder() -> None:
    _, woodruff = setup(replace(NO_607, from_end="1-1/2 in", finder="0.500 in", cutter="0.885 in"))
    _, by_rim = setup(replace(NO_607, from_end="1-1/2 in"))
    _, nowhere = setup(NO_607)

    assert woodruff.from_rim == inches("1.9425")
    assert woodruff.from_finder == inches("1.75")
    assert (by_rim.from_rim, by_rim.from_finder) == (inches("1.9375"), None)
    assert (nowhere.from_rim, nowhere.from_finder) == (None, None)


@IN_ITS_TIME
@given(st.integers(1, 10**8), st.data())
def test_the_seat_s_length_is_the_cutter_s_chord(diameter: int, data: st.DataObject) -> None:
    """The chord of a circle drawn by shapely, its polygon off by less than 1e-6 of the diameter."""
    depth = data.draw(st.integers(diameter // 10, diameter // 2))
    circle = Point(0, 0).buffer(0.5, quad_segs=4096)
    at = 0.5 - depth / diameter
    chord = LineString([(-1, at), (1, at)]).intersection(circle).length

    assert chord_at(Length(diameter), Length(depth)).nm == pytest.approx(
        chord * diameter, abs=diameter * 1e-5 + 1
    )


def test_a_metric_woodruff_depth_counts_from_the_crown() -> None:
    """ISO 3912: key 5 x 6.5, t1 = 4.5 mm on the centre plane."""
    card, woodruff = setup(KeyseatQuestion(shaft="18 mm", standard="woodruff-metric", key="5 x 6.5 mm"))

    assert card.depth.nominal == Length.mm("4.5")
    assert woodruff.at_edge < card.depth.nominal
    assert card.over_key.nominal == Length.mm("20")


def test_passes_speed_and_a_reading_are_as_for_any_keyseat() -> None:
    card = read_card(
        replace(NO_607, step="0.08 in", speed="80 ft/min", measured="0.92 in", measured_over="key")
    )

    assert card.after is not None
    assert card.after.state is State.SHORT
    assert card.passes[-1].floor in card.floor
    assert card.spindle is not None
    assert card.spindle.cutter == inches("7/8")
    assert (card.runs, card.finding) == ((), None)


def test_what_rests_on_memory_says_so() -> None:
    card = read_card(NO_607)

    assert card.status == "memory"
    assert any("from memory of the handbook's note" in remark for remark in card.remarks)


def test_a_cutter_off_the_standard_s_size_is_remarked_on() -> None:
    assert any("the standard's is" in said for said in read_card(replace(NO_607, cutter="0.86 in")).remarks)
    assert not any(
        "the standard's is" in said for said in read_card(replace(NO_607, cutter="0.88 in")).remarks
    )


@pytest.mark.parametrize(
    ("words", "message"),
    [
        ({"number": "407.3"}, "key number: read “407.3”; write a number such as 808; the table has "),
        ({"length": "2 in"}, "length: a Woodruff keyseat is as long as its cutter makes it"),
        ({"finder": "0.5 in"}, "finder: for a Woodruff key it finds the shaft's end"),
        ({"cutter": "1/2 in"}, "cutter: read 0.5 in; for key 607 .* it is near 0.875 in"),
        ({"measured": "0.5 in", "measured_over": "key"}, "measured: read 0.5 in over the key"),
        ({"shape": "square"}, "shape: read square; a Woodruff key has a shape of its own"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_in_a_sentence(words: dict[str, str], message: str) -> None:
    with pytest.raises(InputError, match=message):
        read_card(replace(NO_607, **words))
