"""Inch Woodruff keys: depths against Shigley Table 7-7 and Mott Table 11-3, readings in decimals of fifty digits."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.errors import InputError
from broachplan.keyways.joint import Joint
from broachplan.keyways.key import KeySize, read_key
from broachplan.keyways.keyway import Keyway
from broachplan.keyways.parallel import hub_keyway, joint
from broachplan.lengths import Length, Limits
from broachplan.standards.named import Fit, Shape, Standard
from broachplan.standards.woodruff import InchWoodruff, inch_woodruffs, shaft_range
from tests.keyways.exact import FIFTY, d_less_y, half_even
from tests.keyways.published import published_rows

PUBLISHED = published_rows("asme_b17_2_depths.csv")
TENTH = Length.inches("0.0001")
every_row = pytest.mark.parametrize("row", PUBLISHED, ids=lambda row: row["number"])
keys = st.sampled_from(inch_woodruffs())


def inches(text: str) -> Length:
    """``1-1/4`` or a decimal, in inches."""
    return Length.inches(sum((Fraction(part) for part in text.split("-")), Fraction(0)))


def woodruff(
    diameter: str | Length, key: str = "", shape: Shape | None = None, fit: Fit | None = None
) -> Joint:
    return joint(
        inches(diameter) if isinstance(diameter, str) else diameter,
        standard=Standard.WOODRUFF,
        key=read_key(key, Standard.WOODRUFF) if key else None,
        shape=shape,
        fit=fit,
    )


def in_hub(bore: str | Length, key: str) -> Keyway:
    return hub_keyway(
        Limits.exactly(inches(bore) if isinstance(bore, str) else bore),
        standard=Standard.WOODRUFF,
        key=read_key(key, Standard.WOODRUFF),
    )


@st.composite
def shafts_and_keys(draw: st.DrawFn) -> tuple[Length, InchWoodruff]:
    """A shaft that a key goes into: no smaller than what the keyseat's floor needs."""
    key = draw(keys)
    least = key.width.nm + 2 * key.shaft_depth.upper.nm
    return Length(draw(st.integers(least, 10 * least))), key


def test_the_printed_sample_is_23_keys_and_names_its_source() -> None:
    assert len(PUBLISHED) == 23
    assert all(
        "Shigley Table 7-7" in row["source"] and "Mott Table 11-3" in row["source"] for row in PUBLISHED
    )


@every_row
def test_the_depths_are_the_published_ones(row: dict[str, str]) -> None:
    answer = woodruff("2", row["number"])

    assert answer.key.number == row["number"]
    assert (answer.key.width, answer.key.diameter) == (inches(row["width_in"]), inches(row["diameter_in"]))
    assert answer.shaft.at_edge == inches(row["shaft_depth_in"])
    assert answer.hub.at_edge == answer.hub.depth == inches(row["hub_depth_in"])


@every_row
def test_the_height_of_the_key_is_the_published_one(row: dict[str, str]) -> None:
    height = woodruff("2", row["number"]).clearances[0].stock.height

    assert (height.lower, height.upper) == (inches(row["height_min_in"]), inches(row["height_max_in"]))


@given(shafts_and_keys())
def test_every_figure_is_exact_and_rounded_once(drawn: tuple[Length, InchWoodruff]) -> None:
    diameter, key = drawn
    answer = woodruff(diameter, key.number)
    far = d_less_y(diameter.nm, key.width.nm)
    far_in_hub = d_less_y(diameter.nm, key.hub_width.nominal.nm)

    def exact(start: Decimal, height: Length) -> int:
        return half_even(FIFTY.add(start, Decimal(height.nm)))

    assert answer.shaft.reading.nominal.nm == exact(far, -key.shaft_depth.nominal)
    assert answer.hub.reading.nominal.nm == exact(far_in_hub, key.hub_depth.nominal)
    assert answer.over_key.nm == exact(far, key.above_shaft)
    assert answer.arc.nm == half_even(FIFTY.subtract(Decimal(diameter.nm), far))
    depth = FIFTY.subtract(Decimal(diameter.nm), FIFTY.subtract(far, Decimal(key.shaft_depth.nominal.nm)))
    assert answer.shaft.depth.nm == half_even(depth)


@given(shafts_and_keys())
def test_from_the_crown_the_feed_is_the_tabled_depth_and_the_arc(drawn: tuple[Length, InchWoodruff]) -> None:
    answer = woodruff(drawn[0], drawn[1].number)

    assert abs(answer.shaft.depth - answer.shaft.at_edge - answer.arc) <= Length(1)
    assert any("shops that feed" in remark for remark in answer.remarks)


@given(shafts_and_keys())
def test_limits_stand_round_the_nominal_as_tabled(drawn: tuple[Length, InchWoodruff]) -> None:
    answer = woodruff(drawn[0], drawn[1].number)
    shaft, hub = answer.shaft.reading, answer.hub.reading

    assert (shaft.upper, shaft.lower) == (shaft.nominal, shaft.nominal - inches("0.005"))
    assert (hub.lower, hub.upper) == (hub.nominal, hub.nominal + inches("0.005"))
    assert answer.hub.width.spread == inches("0.002")


@given(shafts_and_keys())
def test_the_key_always_has_room_under_the_hub(drawn: tuple[Length, InchWoodruff]) -> None:
    """The table's 0.001 in less what the wider hub keyway's arc takes."""
    answer = woodruff(drawn[0], drawn[1].number)
    less = answer.arc - in_hub(drawn[0], drawn[1].number).arc

    assert abs(answer.clearances[0].top.lower - (inches("0.001") + less)) <= TENTH + Length(3)


def test_number_406_in_seven_eighths_comes_out_as_in_the_shop() -> None:
    """Common practice, no source: cuts 0.2455 deep, projects 0.0625 above the shaft, 0.933 to 0.938 over shaft and key."""
    answer = woodruff("7/8", "406")
    half_thou = inches("0.0005")

    assert answer.shaft.at_edge == inches("0.2455")
    assert abs(answer.over_key - (inches("7/8") - answer.arc) - inches("0.0625")) <= Length(1)
    for height, over in (("0.308", "0.933"), ("0.313", "0.938")):
        assert abs(answer.shaft.reading.nominal + inches(height) - inches(over)) <= half_thou
    assert answer.over_key in Limits(inches("0.9355"), inches("0.933"), inches("0.938"))


def test_the_trade_s_figure_over_shaft_and_key_is_the_tabled_depth_fed_from_the_crown() -> None:
    """Common practice, no source: 0.9375 over a 7/8 in shaft and key 406; the arc higher than from the edge."""
    answer = woodruff("7/8", "406")

    assert abs(answer.over_key + answer.arc - inches("0.9375")) <= Length(1)


def test_over_shaft_and_key_reaches_from_the_lowest_key_in_the_deepest_seat_to_the_highest() -> None:
    limits = woodruff("13/16", "607").over_key_limits

    assert limits is not None
    assert abs(limits.nominal - limits.lower - inches("0.005")) <= Length(1)
    assert abs(limits.upper - limits.nominal - inches("0.005")) <= Length(1)


def test_a_number_a_width_and_height_and_a_width_and_diameter_name_one_key() -> None:
    by_number = woodruff("1", "808")

    assert woodruff("1", "1/4 x 1 in") == woodruff("1", "1/4 in x 0.438 in") == by_number
    assert by_number.key.name == "808 (1/4 x 1 in)"


@pytest.mark.parametrize("text", ["808", " No. 808", "no 808", "#808", "number 808"])
def test_a_number_is_read_as_it_is_written(text: str) -> None:
    assert read_key(text, Standard.WOODRUFF) == KeySize(inches("1/4"), inches("0.438"))


def test_figures_from_memory_are_marked() -> None:
    read, recalled = woodruff("1", "808"), woodruff("1", "806")

    assert read.remarks[-1] == "from memory, not seen in print: shaft width limits, hub width limits"
    assert (
        recalled.remarks[-1] == "from memory, not seen in print: shaft width limits, depth, hub width limits"
    )
    assert read.status == recalled.status == "memory"
    assert (read.source, recalled.source) == (
        "ASME B17.2, as in Shigley (Table 7-7) and Mott (Table 11-3)",
        "ASME B17.2",
    )
    assert read.remarks[0].endswith("(from memory of the handbook's note)")


def test_a_shaft_outside_the_range_of_a_width_is_a_remark() -> None:
    assert not any("table 7-8" in remark for remark in woodruff("2-1/4", "808").remarks)
    assert woodruff("2.251", "808").remarks[0] == (
        "Woodruff keys 1/4 in wide are for shafts from 11/16 in to 2-1/4 in, and this is 2.251 in (Shigley's Mechanical Engineering Design, table 7-8)"
    )
    assert "no shafts are known for Woodruff keys 7/32 in wide" in woodruff("1", "708").remarks[0]


def test_a_keyseat_past_the_middle_of_the_shaft_is_a_remark() -> None:
    said = "the keyseat cuts past the middle of the shaft"

    assert said in woodruff("1", "812").remarks
    assert said not in woodruff("1-1/4", "812").remarks


def test_the_cutter_has_the_key_s_number_and_the_keyseat_s_width() -> None:
    answer = woodruff("1", "808")

    assert answer.cutter is not None
    assert (answer.cutter.number, answer.cutter.width, answer.cutter.status) == (
        "808",
        answer.shaft.width,
        "memory",
    )
    assert answer.cutter.diameter_limits == Limits(inches("1.020"), inches("1"), inches("1.020"))


def proposed(diameter: Length) -> list[str]:
    """The number taken, or those that the refusal names."""
    try:
        number = woodruff(diameter).key.number
    except InputError as error:
        listed, asked = str(error).split(" are ")[1].split("; ")
        return listed.split(", ") if asked == "name one by its number" else []
    return [number] if number else []


@given(st.integers(inches("5/16").nm, inches("2-5/8").nm).map(Length))
def test_without_a_number_those_that_suit_are_named_or_the_only_one_taken(diameter: Length) -> None:
    found = proposed(diameter)

    for key in inch_woodruffs():
        shafts = shaft_range(key.width)
        suits = shafts is not None and shafts.shaft_from <= diameter <= shafts.shaft_to
        deep = woodruff(diameter, key.number).shaft.depth * 2 > diameter if suits else True
        assert (key.number in found) == (suits and not deep)


def test_a_shape_or_fit_is_not_a_woodruff_matter_nor_is_top_clearance() -> None:
    with pytest.raises(InputError, match="shape: read square; a Woodruff key has a shape of its own"):
        woodruff("1", "808", shape=Shape.SQUARE)
    with pytest.raises(InputError, match="fit: read 1; inch Woodruff keyseats have one fit"):
        woodruff("1", "808", fit=Fit.CLASS_1)
    with pytest.raises(InputError, match="only the metric standard has such keyways"):
        joint(inches("1"), standard=Standard.WOODRUFF, top_clearance=False)


@pytest.mark.parametrize(
    ("diameter", "key", "message"),
    [
        ("1", "909", "key number: read “909”; the table here leaves that number out, .*; the table has 202, 202.5, .*, 1212$"),
        ("1", "5 mm", "key: the Woodruff table has no key 5 mm wide; it has 1/16, 3/32, 1/8, .*, 3/8 in$"),
        ("1", "1/4 x 5/8 in", r"no Woodruff key 1/4 in wide is 5/8 in high or in diameter; the keys of this width are 806"),
        ("1", "1/4 in", r"key: the Woodruff keys 1/4 in wide for 1 in are 806, 807, 808, 809, 810, 811; name one"),
        ("3", "", "key: the table has no Woodruff key for 3 in; name one by its number, such as 808$"),
        ("3", "1/4 in", "key: the table has no Woodruff key 1/4 in wide for 3 in; name one"),
        ("1/4", "808", "it must be less than the bore or shaft, 0.25 in$"),
        ("1/2", "1212", r"key 1212 \(3/8 x 1-1/2 in\): its keyseat is 0\.4485 in deep, too deep for a shaft or bore of 1/2 in"),
    ],
)  # fmt: skip
def test_what_the_standard_does_not_have_is_refused(diameter: str, key: str, message: str) -> None:
    with pytest.raises(InputError, match=message):
        woodruff(diameter, key)


@given(shafts_and_keys())
def test_a_hub_keyway_has_the_joint_s_figures_and_its_own_arc(drawn: tuple[Length, InchWoodruff]) -> None:
    diameter, key = drawn
    keyway, whole = in_hub(diameter, key.number), woodruff(diameter, key.number)

    assert (keyway.width, keyway.reading, keyway.depth_at_wall) == (
        whole.hub.width,
        whole.hub.reading,
        whole.hub.depth,
    )
    assert keyway.arc > whole.arc
    assert abs(keyway.reading.nominal - (diameter - keyway.arc + keyway.depth_at_wall)) <= Length(1)
    assert (keyway.standard, keyway.shape) == (Standard.WOODRUFF, Shape.WOODRUFF)
    assert not any("crown" in remark for remark in keyway.remarks)
