"""Milling a keyseat: passes, depths, moves and readings, and what cannot be asked."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import pi

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, box

from broachplan.errors import InputError
from broachplan.keyways.key import KeySize
from broachplan.keyways.milling import MOST_PASSES, RUB, milling_card, spindle_rpm
from broachplan.keyways.milling_card import Card, CardRequest, Ends, MicrometerReading, Over, State, half
from broachplan.keyways.parallel import joint
from broachplan.lengths import Length, Limits, System, parse_length
from broachplan.quantities import parse_speed
from broachplan.questions.read_keyseat import read_card
from broachplan.questions.shaft import KeyseatQuestion
from broachplan.questions.texts import read_deviations
from broachplan.standards.inch_keys import inch_keys
from broachplan.standards.metric_keys import metric_keys
from broachplan.standards.named import Standard

IN_ITS_TIME = settings(deadline=None)  # a busy machine is no failure
SHAFTS = {
    Standard.INCH: (inch_keys()[0].shaft_over.nm + 1, Length.inches(6).nm),
    Standard.METRIC: (metric_keys()[0].shaft_over.nm + 1, metric_keys()[-1].shaft_to.nm),
}
BOTH = pytest.mark.parametrize("standard", [Standard.INCH, Standard.METRIC])
TENTH = Length.inches("0.00005")
PLAIN = KeyseatQuestion(shaft="1-3/8 in", key="3/8 in")
OWN_LIMITS = replace(PLAIN, step="0.060 in", depth_limits="+0.000 -0.012")


def inches(text: str) -> Length:
    return Length.inches(text)


def card(standard: Standard, shaft: Length, **asked: object) -> Card:
    return milling_card(
        joint(shaft, standard=standard),
        Limits.exactly(shaft),
        CardRequest(**asked),  # type: ignore[arg-type]
    )


def drawn(data: st.DataObject, standard: Standard) -> Length:
    return Length(data.draw(st.integers(*SHAFTS[standard])))


def test_a_quarter_inch_key_in_seven_eighths_lies_as_in_the_shop() -> None:
    """Common practice, no source: 0.1432 below the top of the arc, 0.982 over shaft and key."""
    answer = read_card(KeyseatQuestion(shaft="7/8 in", key="1/4 in"))

    assert abs(answer.depth.lower - inches("0.1432")) <= TENTH
    assert abs(answer.over_key.upper - inches("0.982")) <= inches("0.0005")


def test_a_seat_by_the_user_s_limits_is_cut_in_whole_steps_and_the_rest_to_within_them() -> None:
    """ASME B17.1: the floor lies y + H/2 below the top of the arc, y = (D - sqrt(D^2 - W^2)) / 2, here
    0.0261 + 0.1875 in; a key on size reads D - y + H/2. The user's limits let the floor lie 0.012 in deeper."""
    answer = read_card(OWN_LIMITS)

    assert abs(answer.depth.lower - inches("0.21356")) <= Length(254)
    assert abs(answer.depth.upper - inches("0.22556")) <= Length(254)
    assert abs(answer.over_key.lower - inches("1.52444")) <= Length(254)
    assert abs(answer.over_key.upper - inches("1.53644")) <= Length(254)
    assert [cut.cut for cut in answer.passes[:-1]] == [inches("0.060")] * 3
    assert answer.passes[-1].depth in answer.depth
    assert answer.source.endswith("limits of the reading given by the user")


@BOTH
@IN_ITS_TIME
@given(data=st.data())
def test_no_pass_is_deeper_than_the_step_and_the_last_lands_within_the_limits(
    standard: Standard, data: st.DataObject
) -> None:
    shaft = drawn(data, standard)
    whole = card(standard, shaft)
    step = Length(data.draw(st.integers(whole.aim.nm // (MOST_PASSES - 1), 2 * whole.aim.nm)))
    passes = card(standard, shaft, step=step).passes

    assert all(Length(0) < each.cut <= step for each in passes)
    assert all(each.cut == step for each in passes[:-1])
    assert sum((each.cut for each in passes), Length(0)) == passes[-1].depth
    assert passes[-1].depth in whole.depth
    assert passes[-1].floor in whole.floor
    assert [each.number for each in passes] == list(range(1, len(passes) + 1))
    assert abs(passes[-1].depth - whole.aim) <= RUB


@BOTH
@IN_ITS_TIME
@given(data=st.data())
def test_depths_and_readings_are_two_sides_of_one_shaft(standard: Standard, data: st.DataObject) -> None:
    shaft = drawn(data, standard)
    answer = card(standard, shaft)

    assert answer.floor == answer.joint.shaft.reading
    assert (answer.depth.lower + answer.floor.upper, answer.depth.upper + answer.floor.lower) == (
        shaft,
        shaft,
    )
    assert answer.depth.nominal == answer.joint.shaft.depth
    assert answer.over_key.spread == answer.floor.spread
    assert answer.over_key.lower - answer.floor.lower == answer.joint.key.height


@IN_ITS_TIME
@given(st.integers(SHAFTS[Standard.METRIC][0], SHAFTS[Standard.METRIC][1]))
def test_the_floor_s_reading_is_the_section_s_by_polygons(shaft_nm: int) -> None:
    """The seat cut out of a circle drawn by shapely; its polygon of 16384 sides is off by less than 1e-7 of D."""
    answer = card(Standard.METRIC, Length(shaft_nm))
    diameter, width = shaft_nm / 1e6, answer.joint.key.width.in_mm
    circle = Point(0, diameter / 2).buffer(diameter / 2, quad_segs=4096)
    floor = diameter - answer.depth.nominal.in_mm
    left = circle.difference(box(-width / 2, floor, width / 2, 2 * diameter))

    middle = LineString([(0, -1), (0, 2 * diameter)]).intersection(left)
    edge = LineString([(width / 2, floor), (width / 2, 2 * diameter)]).intersection(circle)
    assert middle.length == pytest.approx(answer.floor.nominal.in_mm, abs=diameter * 1e-6)
    assert edge.length == pytest.approx(
        (answer.depth.nominal - answer.joint.arc).in_mm, abs=diameter * 1e-6 + 1e-5
    )


@IN_ITS_TIME
@given(st.integers(-300, 300), st.integers(0, 300))
def test_a_depth_within_its_limits_is_right_for_every_shaft_within_its_own(low: int, spread: int) -> None:
    """S is +0.000 -0.015 in: a shaft of less spread than that leaves a window of depths."""
    seat = joint(inches("1"), standard=Standard.INCH)
    tenth = inches("0.0001")
    shaft = Limits(inches("1"), inches("1") + tenth * low, inches("1") + tenth * (low + spread))
    answer = milling_card(seat, shaft, CardRequest())
    ends = [
        diameter - depth
        for diameter in (shaft.lower, shaft.upper)
        for depth in (answer.depth.lower, answer.depth.upper)
    ]

    said = any("are wider than the reading's" in remark for remark in answer.remarks)
    assert said == (spread > 150)
    assert said or all(reading in answer.floor for reading in ends)


def test_a_last_cut_under_a_thou_is_left_out_where_the_pass_before_lies_within_the_limits() -> None:
    aim = read_card(PLAIN).aim
    step = Length((aim.nm - inches("0.0005").nm) // 3)
    seat = joint(inches("1.375"), standard=Standard.INCH, key=KeySize(inches("0.375"), None))
    light = milling_card(seat, Limits.exactly(inches("1.375")), CardRequest(step=step)).passes

    assert len(light) == 3
    assert aim - light[-1].depth < RUB
    assert light[-1].depth in read_card(PLAIN).depth


def test_a_last_cut_that_rubs_is_said_where_it_is_needed() -> None:
    answer = read_card(replace(PLAIN, step="0.2135 in", depth_limits="+0.0000 -0.0004 in"))

    assert len(answer.passes) == 2
    assert any("may rub" in remark for remark in answer.remarks)


@IN_ITS_TIME
@given(st.integers(1, 2 * 25_400_000), st.integers(SHAFTS[Standard.INCH][0], SHAFTS[Standard.INCH][1]))
def test_the_spindle_moves_half_the_finder_and_half_the_shaft(finder: int, shaft: int) -> None:
    found = card(Standard.INCH, Length(shaft), finder=Length(finder)).finding

    assert found is not None
    assert abs(Fraction(found.half_finder.nm) - Fraction(finder, 2)) <= Fraction(1, 2)
    assert abs(Fraction(found.half_shaft.nm) - Fraction(shaft, 2)) <= Fraction(1, 2)
    assert found.move == found.half_finder + found.half_shaft


def test_a_finder_of_half_an_inch_on_one_and_three_eighths_moves_0_250_and_then_0_6875() -> None:
    found = read_card(replace(PLAIN, finder="0.500 in")).finding

    assert found is not None
    assert (found.half_finder, found.half_shaft) == (inches("0.25"), inches("0.6875"))


@IN_ITS_TIME
@given(st.integers(1, 100), st.integers(1, 300), st.integers(0, 300))
def test_the_cutter_s_rim_ends_where_the_seat_does(cutter: int, more: int, from_end: int) -> None:
    seat = joint(Length.mm(230), standard=Standard.METRIC)
    size = Length.mm(Fraction(cutter, 2))
    assume(size <= seat.shaft.width.upper)
    length, radius = size + Length.mm(more), half(size)
    asked = CardRequest(cutter=size, length=length, from_end=Length.mm(from_end) if from_end else None)
    round_ends, square_ends = milling_card(seat, Limits.exactly(Length.mm(230)), asked).runs
    near = Length.mm(from_end)

    assert (round_ends.ends, square_ends.ends) == (Ends.ROUND, Ends.SQUARE)
    assert round_ends.over_all == square_ends.full_width == length
    assert round_ends.end + radius == near + length
    assert square_ends.end == near + length
    if from_end:
        assert round_ends.start - radius == square_ends.start == near
        assert round_ends.full_width == round_ends.end - round_ends.start
        assert square_ends.over_all == length + size
    else:
        assert round_ends.start + radius == square_ends.start + radius == Length(0)
        assert round_ends.full_width == round_ends.end
        assert square_ends.over_all == length + radius


def test_a_cutter_narrower_than_the_seat_is_moved_to_each_side() -> None:
    answer = read_card(replace(PLAIN, cutter="0.365 in"))

    assert answer.side_move is not None
    assert (answer.side_move.lower, answer.side_move.upper) == (inches("0.005"), inches("0.006"))
    assert read_card(replace(PLAIN, cutter="0.376 in")).side_move is None


@IN_ITS_TIME
@given(st.integers(1, 10**6), st.integers(1, 10**6))
def test_rim_speed_is_revolutions_times_circumference(feet: int, tenths: int) -> None:
    cutter = inches("0.0001") * tenths
    rpm = spindle_rpm(parse_speed(f"{feet} ft/min"), cutter)

    assert rpm * pi * cutter.nm / 25_400_000 / 12 == pytest.approx(feet)


def test_eighty_feet_a_minute_turns_a_three_eighths_cutter_815_times() -> None:
    """Common practice: 12 x speed / (pi x diameter)."""
    spindle = read_card(replace(PLAIN, cutter="3/8 in", speed="80 ft/min")).spindle

    assert spindle is not None
    assert spindle.rpm == pytest.approx(12 * 80 / (pi * 0.375))


@BOTH
@IN_ITS_TIME
@given(data=st.data())
def test_a_reading_over_the_key_says_the_same_as_one_over_the_floor(
    standard: Standard, data: st.DataObject
) -> None:
    shaft = drawn(data, standard)
    whole = card(standard, shaft)
    height = whole.joint.key.height + Length(data.draw(st.integers(0, 10_000)))
    floor = Length(data.draw(st.integers(whole.floor.lower.nm - 10**5, shaft.nm)))
    over_floor = card(standard, shaft, measured=MicrometerReading(Over.FLOOR, floor)).after
    over_key = card(
        standard, shaft, key_height=height, measured=MicrometerReading(Over.KEY, floor + height)
    ).after

    assert over_floor is not None
    assert over_key is not None
    assert replace(over_key, measured=over_floor.measured) == over_floor
    assert (over_floor.state is State.WITHIN) == (floor in whole.floor)
    assert over_floor.most - over_floor.least == whole.floor.spread


@BOTH
@IN_ITS_TIME
@given(data=st.data())
def test_what_is_still_to_take_off_brings_the_floor_to_its_aim(
    standard: Standard, data: st.DataObject
) -> None:
    shaft = drawn(data, standard)
    whole = card(standard, shaft)
    floor = Length(data.draw(st.integers(whole.floor.upper.nm + 1, shaft.nm)))
    step = Length(data.draw(st.integers(whole.aim.nm // 20, whole.aim.nm)))
    answer = card(standard, shaft, step=step, measured=MicrometerReading(Over.FLOOR, floor))

    assert answer.after is not None
    assert answer.after.state is State.SHORT
    assert floor - answer.after.least == whole.floor.upper
    assert floor - answer.after.most == whole.floor.lower
    assert abs(sum((each.cut for each in answer.passes), Length(0)) - answer.after.to_aim) <= RUB
    assert answer.passes[-1].floor in whole.floor
    assert max(each.cut for each in answer.passes) <= step


@pytest.mark.parametrize(
    ("measured", "over", "state"),
    [
        ("1.545 in", "key", State.SHORT),
        ("1.53 in", "key", State.WITHIN),
        ("1.5200 in", "key", State.UNSURE),
        ("1.375 in", "floor", State.SHORT),
        ("1.155 in", "Floor", State.WITHIN),
        ("1.13 in", "floor", State.PAST),
    ],
)
def test_a_reading_is_short_within_or_past(measured: str, over: str, state: State) -> None:
    answer = read_card(replace(OWN_LIMITS, measured=measured, measured_over=over))

    assert answer.after is not None
    assert answer.after.state is state
    assert bool(answer.passes) == (state is State.SHORT)


def test_a_measured_key_takes_the_place_of_the_stock_s_limits() -> None:
    by_stock, measured = read_card(PLAIN), read_card(replace(PLAIN, key_height="0.3745 in"))

    assert by_stock.over_key_stock is not None
    assert by_stock.stock == by_stock.joint.clearances[0].stock.name
    assert by_stock.over_key_stock == by_stock.joint.over_key_limits
    assert measured.over_key_stock is None
    assert measured.over_key.upper == measured.floor.upper + inches("0.3745")


@pytest.mark.parametrize(
    ("text", "system", "lower", "upper"),
    [
        ("+0.000 -0.010", System.INCH, "-0.010 in", ""),
        ("+0.000 -0.010 in", System.METRIC, "-0.010 in", ""),
        ("-0.010 0", System.INCH, "-0.010 in", ""),
        ("+0.1 -0.2", System.METRIC, "-0.2 mm", "+0.1 mm"),
        ("±0.1 mm", System.INCH, "-0.1 mm", "+0.1 mm"),
        ("+0 -10 thou", System.INCH, "-0.010 in", ""),
    ],
)
def test_the_user_s_limits_are_read_in_their_unit_or_the_shaft_s(
    text: str, system: System, lower: str, upper: str
) -> None:
    def signed(size: str) -> Length:
        return parse_length(size[1:]) * (-1 if size[0] == "-" else 1) if size else Length(0)

    read = read_deviations(text, system)
    assert (read.lower, read.upper) == (signed(lower), signed(upper))


@pytest.mark.parametrize(
    ("words", "message"),
    [
        ({"step": "0 in"}, "step: read “0 in”; it must be above zero"),
        ({"step": "0.001 in"}, r"step: read 0.001 in; that would be 222 passes, and 100 are enough"),
        ({"finder": "3 in"}, "finder: read 3 in; it is the diameter of an edge finder, 2 in at most"),
        ({"cutter": "0.3771 in"}, "cutter: read 0.3771 in; it must not be wider than the keyseat, 0.375 in to 0.377 in"),
        ({"key": "1-1/2 in"}, "keyway width 1.5 in: it must be less than the bore or shaft, 1.375 in"),
        ({"length": "2 in"}, "length: the position of the cutter's centre depends on its radius"),
        ({"from_end": "1-1/2 in"}, "from: it goes with the length of the key"),
        ({"length": "0.15 in", "cutter": "3/8 in"}, "length: read 0.15 in; .* at least 0.1875 in long"),
        ({"length": "0.35 in", "cutter": "3/8 in", "from_end": "1-1/2 in"}, "length: read 0.35 in; .* at least 0.375 in long"),
        ({"speed": "80 ft/min"}, "speed: the spindle's speed depends on the cutter's diameter"),
        ({"speed": "80", "cutter": "3/8 in"}, "speed: read “80”; write a number and its unit"),
        ({"depth_limits": "0.012 in"}, "depth limits: read “0.012 in”; write both deviations"),
        ({"depth_limits": "+0.0 -0.012 kg"}, "depth limits: read “.0.0 -0.012 kg”; write both deviations"),
        ({"depth_limits": "+0.3 -0.012 in"}, "depth limits: the floor's reading would be .* so that the seat holds a key"),
        ({"depth_limits": "+0.0 -0.4 in"}, "depth limits: the floor's reading would be .* so that the seat holds a key"),
        ({"measured": "1.53 in"}, "measured over: nothing was given; write key or floor"),
        ({"measured": "1.53 in", "measured_over": "top"}, "measured over: read “top”; write key or floor"),
        ({"measured_over": "key"}, "measured: nothing was given"),
        ({"measured": "1.376 in", "measured_over": "floor"}, "measured: read 1.376 in over the floor; it must be more than .* and not over 1.375 in"),
        ({"measured": "0.9 in", "measured_over": "floor"}, "measured: read 0.9 in over the floor; it must be more than"),
        ({"measured": "1.751 in", "measured_over": "key"}, "measured: read 1.751 in over the key; .* not over 1.75 in"),
        ({"measured": "1.3 in", "measured_over": "key"}, "measured: read 1.3 in over the key; it must be more than"),
        ({"key_height": "1/2 in"}, "key height: read 0.5 in; it must be near the key's 3/8 in"),
        ({"number": "607"}, "key: read “3/8 in” and the number “607”; give one of them"),
        ({"number": "607", "key": "", "standard": "metric"}, "key number: read “607”; only inch Woodruff keys"),
        ({"shaft": "1-3/8 in -0.200 -0.201"}, "shaft: its limits, 1.174 in to 1.175 in, are too far from 1-3/8 in"),
        ({"shaft": "1-3/8 in +0.201 +0.200"}, "shaft: its limits, 1.575 in to 1.576 in, are too far from 1-3/8 in"),
        ({"shaft": "1-3/8"}, "shaft: read “1-3/8” without a unit"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_in_a_sentence(words: dict[str, str], message: str) -> None:
    with pytest.raises(InputError, match=message):
        read_card(replace(PLAIN, **words))


def test_a_floor_is_measured_between_a_key_s_height_under_the_edge_and_the_shaft_itself() -> None:
    shaft = inches("1.375")
    seat = joint(shaft, standard=Standard.INCH)
    lowest = shaft - seat.arc - seat.key.height

    for size, is_floor in (
        (lowest, False),
        (lowest + Length(1), True),
        (shaft, True),
        (shaft + Length(1), False),
    ):
        asked = CardRequest(measured=MicrometerReading(Over.FLOOR, size))
        if is_floor:
            assert milling_card(seat, Limits.exactly(shaft), asked).after is not None
        else:
            with pytest.raises(InputError, match=r"^measured: read .* over the floor; it must be more than"):
                milling_card(seat, Limits.exactly(shaft), asked)
