"""How T is measured with what is at hand, both ways round."""

from __future__ import annotations

from decimal import Decimal
from math import sqrt

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from broachplan.cut.gauge_ways import GaugedBore, GaugeWay, Way, gauge_way, read_way
from broachplan.errors import InputError
from broachplan.lengths import Length
from tests.keyways.exact import FIFTY, d_less_y, half_even

MM = Length.mm
BORE = GaugedBore(MM(25), MM(25), MM(8))
UNMEASURED = GaugedBore(MM(25), None, MM(8))
bores = st.integers(4_000_000, 200_000_000)
shares = st.integers(5, 95)


# -- worked examples ---------------------------------------------------------------------------------------------------


def test_g2_two_keyways_of_28_40_in_a_25_mm_bore_are_31_80_floor_to_floor() -> None:
    # G2: 2 T - D = 2 x 28.40 - 25 = 31.80 mm; computed from the geometry in the project's reference notes.
    floor = gauge_way(Way.FLOOR, BORE, other=MM("28.40"))

    assert floor.reads(MM("28.40")) == MM("31.80")
    assert floor.t_of(MM("31.80")) == MM("28.40")


def test_g1_a_keyway_8_wide_in_a_25_mm_bore_is_the_arc_deeper_than_its_wall() -> None:
    # G1: y = 0.657 mm, first metal at 24.343: T 28.40 is 4.057 mm deep at the side wall.
    assert gauge_way(Way.WALL, BORE).reads(MM("28.40")).in_mm == pytest.approx(4.057, abs=0.0005)


def test_a_flat_anvil_3_mm_wide_reads_0_113_short_in_a_20_mm_bore() -> None:
    # Handbook geometry of the segment: 10 - sqrt(100 - 2.25).
    short = gauge_way(Way.INSIDE, GaugedBore(MM(20), None, MM(6)), anvil=MM(3)).less

    assert short.in_mm == pytest.approx(10 - sqrt(100 - 2.25), abs=1e-6)
    assert round(short.in_mm, 3) == 0.113


def test_a_ball_or_a_knife_edge_reads_t_itself() -> None:
    assert gauge_way(Way.INSIDE, UNMEASURED).reads(MM("28.4")) == MM("28.4")


def test_over_a_block_the_gauge_reads_its_height_less() -> None:
    assert gauge_way(Way.BLOCK, UNMEASURED, block=MM(8)).reads(MM("28.4")) == MM("20.4")


def test_a_flat_anvil_over_a_block_reads_short_of_that_too() -> None:
    bare = gauge_way(Way.BLOCK, BORE, block=MM(8))
    flat = gauge_way(Way.BLOCK, BORE, block=MM(8), anvil=MM(3))

    assert flat.less - bare.less == gauge_way(Way.INSIDE, BORE, anvil=MM(3)).less


# -- both directions -------------------------------------------------------------------------------------------------


@st.composite
def ways(draw: st.DrawFn) -> tuple[GaugeWay, Length]:
    """Any way with any sizes that go together, and a T that it can measure."""
    bore = draw(bores)
    width = bore * draw(shares) // 100
    t = Length(bore + draw(st.integers(1, bore // 2)))
    way = draw(st.sampled_from(Way))
    sized = {
        Way.INSIDE: {"anvil": Length(bore * draw(shares) // 100)},
        Way.BLOCK: {"block": Length(bore * draw(shares) // 100)},
        Way.WALL: {},
        Way.FLOOR: {"other": Length(bore + draw(st.integers(1, bore // 2)))},
    }[way]
    return gauge_way(way, GaugedBore(Length(bore), Length(bore), Length(width)), **sized), t


@given(ways())
def test_what_a_gauge_should_read_turns_back_into_t_to_the_nanometre(one: tuple[GaugeWay, Length]) -> None:
    way, t = one

    assert way.t_of(way.reads(t)) == t
    assert way.reads(way.t_of(way.reads(t))) == way.reads(t)


@given(ways(), st.integers(0, 1_000_000))
def test_a_deeper_keyway_reads_deeper_by_as_much_whatever_the_way(
    one: tuple[GaugeWay, Length], deeper: int
) -> None:
    way, t = one

    assert way.reads(t + Length(deeper)) - way.reads(t) == Length(deeper)


@given(bores, shares, st.integers(1, 50))
def test_depth_at_the_side_wall_is_t_less_the_corner_of_the_measured_bore(
    bore: int, share: int, deep: int
) -> None:
    width = bore * share // 100
    t = bore + bore * deep // 100

    depth = gauge_way(Way.WALL, GaugedBore(Length(bore), Length(bore), Length(width))).reads(Length(t))

    assert depth.nm == t - half_even(d_less_y(bore, width))


@given(bores, shares)
def test_a_flat_anvil_is_off_the_wall_by_the_height_of_its_arc(bore: int, share: int) -> None:
    anvil = bore * share // 100
    exact = FIFTY.subtract(Decimal(bore), d_less_y(bore, anvil))

    short = gauge_way(Way.INSIDE, GaugedBore(Length(bore), None, Length(1)), anvil=Length(anvil)).less

    # A tie of (D - root)/2 rounds to even either way only where the root is whole.
    assert abs(Decimal(short.nm) - exact) <= Decimal("0.5")


@given(bores, st.integers(1, 400_000))
def test_floor_to_floor_is_the_same_whichever_keyway_is_called_the_first(bore: int, deep: int) -> None:
    assume(deep < bore)
    measured = GaugedBore(Length(bore), Length(bore), Length(bore // 4))
    first, second = Length(bore + deep), Length(bore + 2 * deep)

    one = gauge_way(Way.FLOOR, measured, other=first).reads(second)
    other = gauge_way(Way.FLOOR, measured, other=second).reads(first)

    assert one == other


# -- what is refused ----------------------------------------------------------------------------------------------------


def test_depth_at_the_side_wall_asks_for_the_measured_bore() -> None:
    with pytest.raises(InputError, match=r"measure the bore and type its size: its whole tolerance"):
        gauge_way(Way.WALL, UNMEASURED)


def test_floor_to_floor_asks_for_the_measured_bore_and_the_other_keyway() -> None:
    with pytest.raises(InputError, match="measure the bore"):
        gauge_way(Way.FLOOR, UNMEASURED, other=MM("28.4"))
    with pytest.raises(InputError, match="T of the keyway opposite"):
        gauge_way(Way.FLOOR, BORE)
    with pytest.raises(InputError, match="more than the bore"):
        gauge_way(Way.FLOOR, BORE, other=MM(25))


def test_over_a_block_its_height_is_asked_for() -> None:
    with pytest.raises(InputError, match="type the height of the block"):
        gauge_way(Way.BLOCK, BORE)


def test_a_block_as_high_as_the_reading_leaves_nothing_to_measure() -> None:
    with pytest.raises(InputError, match="nothing is left to measure"):
        gauge_way(Way.BLOCK, BORE, block=MM("28.4")).reads(MM("28.4"))


def test_a_size_that_a_way_has_no_use_for_is_refused() -> None:
    with pytest.raises(InputError, match="belongs to the way block"):
        gauge_way(Way.INSIDE, BORE, block=MM(8))
    with pytest.raises(InputError, match="belongs to the way inside or block"):
        gauge_way(Way.WALL, BORE, anvil=MM(3))
    with pytest.raises(InputError, match="belongs to the way floor"):
        gauge_way(Way.WALL, BORE, other=MM("28.4"))


def test_an_anvil_as_wide_as_the_bore_does_not_go_in() -> None:
    with pytest.raises(InputError, match="narrower than the bore"):
        gauge_way(Way.INSIDE, BORE, anvil=MM(25))


def test_a_way_is_read_by_its_word() -> None:
    assert read_way(" Wall ") is Way.WALL
    with pytest.raises(InputError, match="write inside, block, wall, floor"):
        read_way("outside")
