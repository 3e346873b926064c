"""One broach in one bushing: the aim, the shims a slot takes, and which rule refuses a pair, with its numbers."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import pi

from hypothesis import given
from hypothesis import strategies as st

from broachplan.lengths import Length, Limits
from broachplan.planner.answer import Pass, Rule
from broachplan.planner.bounds import bounds_of
from broachplan.planner.pairs import ShimDrawer, most_total_nm, target_of
from broachplan.planner.rules import Case
from broachplan.quantities import Force
from tests.planner.setups import BASE, MM, NM, SetUp, limits, metal, only_rule, shim, words_of


def case_of(setup: SetUp) -> Case:
    bounds = bounds_of(setup.keyway, setup.hub.bore.lower, setup.settings)
    return Case(setup.hub, setup.keyway, bounds, setup.settings, setup.off)


@given(st.integers(1, 10**9), st.integers(0, 10**6))
def test_the_middle_of_the_limits_is_aimed_at_to_half_a_nanometre(lower: int, width: int) -> None:
    middle = Length(round(Fraction(2 * lower + width, 2)))
    drawing = replace(BASE.keyway, reading=limits(Length(lower), Length(lower + width)), aim=middle)

    target = target_of(case_of(BASE.but(keyway=drawing)))

    assert (target.lower, target.upper, target.twice_aim) == (lower, lower + width, 2 * lower + width)


def test_an_aim_set_off_the_middle_is_kept() -> None:
    target = target_of(case_of(BASE.but(keyway={"aim": MM("28.12")})))

    assert target.twice_aim == 2 * 28_120_000


def test_the_tallest_stack_brings_the_reading_to_its_upper_limit() -> None:
    # 28.15 - 12.0 - 13.2 mm.
    assert most_total_nm(BASE.broach, BASE.bushing, case_of(BASE)) == 2_950_000


def test_a_slot_takes_the_shims_that_fit_it_and_are_there() -> None:
    shims = (shim("a", MM(1)), shim("wide", MM(1), MM("7.1")), shim("slim", MM(1), MM(5)), shim("out", MM(1)))
    drawer = ShimDrawer(shims, case_of(BASE.but(off={"out": "lent"})))

    assert [one.tag for one in drawer.fitting(MM("7.02"))] == ["a"]
    assert [one.tag for one in drawer.fitting(MM("7.1"))] == ["a", "wide"]
    assert [one.tag for one in drawer.fitting(MM("5.5"))] == ["slim"]


def test_slots_that_take_the_same_shims_share_their_totals() -> None:
    drawer = ShimDrawer(BASE.shims, case_of(BASE))

    totals = drawer.totals(MM("7.02"), 3_000_000)
    assert drawer.totals(MM("7.03"), 2_000_000) is totals
    taller = drawer.totals(MM("7.02"), 4_000_000)
    assert taller is not totals
    assert taller.most_nm >= 4_000_000


def test_a_slot_without_a_shim_is_reported_with_the_widths_it_takes() -> None:
    blocked = BASE.but(shims=()).answer()

    assert only_rule(blocked) is Rule.SHIM_FIT
    # 7.02 mm = 0.276378 in, less 0.030 in: limits, so rounded inward.
    assert words_of(blocked, Rule.SHIM_FIT) == (
        "no shim on the shelf fits a slot of 0.2764 in: widths 0.2464 to 0.2763 in"
    )


def test_a_reading_that_no_stack_meets_is_reported_with_the_nearest_from_below() -> None:
    blocked = BASE.but(shims=BASE.shims[:2]).answer()

    assert only_rule(blocked) is Rule.READING
    # 25.2 + 2.0 = 27.2 mm = 1.0709 in, the limits 28.05 and 28.15 mm, 1.104331 and 1.108268 in, rounded inward.
    assert words_of(blocked, Rule.READING) == (
        "the nearest stack from below reads 1.0709 in; the limits are 1.1044 in to 1.1082 in"
    )
    assert blocked.refusals[0].nearest[0].short_by == 850_000


def test_a_step_too_long_is_reported_from_where_to_where() -> None:
    blocked = BASE.but(shims=(shim("a", MM("2.9")),)).answer()

    assert only_rule(blocked) is Rule.BITE
    # 2.9 mm = 0.1142 in at once, 1.25 mm = 0.0492 in at most.
    assert words_of(blocked, Rule.BITE) == (
        "from shims of 0.0000 in the next stack is 0.1142 in: a step of 0.1142 in, at most 0.0492 in"
    )
    assert blocked.refusals[0].nearest[0].short_by == 2_900_000 - 1_250_000


def test_a_gap_in_the_middle_of_the_way_is_the_one_reported() -> None:
    # From the bare slot to 0.6 mm the passes go; from 0.6 to 2.9 they do not.
    blocked = BASE.but(shims=(shim("a", MM("0.6")), shim("b", MM("2.9")))).answer()

    assert "from shims of 0.0236 in the next stack is 0.1142 in" in words_of(blocked, Rule.BITE)


def test_a_press_too_small_is_reported_with_the_least_force_needed() -> None:
    blocked = BASE.but(press={"rated_force": Force(1_000_000)}).answer()

    assert only_rule(blocked) is Rule.PRESS_FORCE
    # The steps of 0.9 to 1.0 mm put three full teeth in the cut: 2100 N = 472 lbf; 700 N = 157 lbf.
    assert (
        words_of(blocked, Rule.PRESS_FORCE) == "needs 472 lbf with a sharp broach; 70 % of press P is 157 lbf"
    )


def test_small_steps_spare_a_small_press() -> None:
    # A step of 0.05 mm leaves one tooth to cut: 700 N, where three would take 2100.
    end = MM("25.75") + MM("0.05")
    light = BASE.but(
        bushing={"web": MM("12.55")}, shims=(shim("a", MM("0.05")),), hub={"material": metal(kc=2000)},
        keyway={"reading": limits(end, end), "aim": end},
    )  # fmt: skip
    (first, last) = light.answer().plans[0].passes

    assert last.force_high is not None
    assert abs(last.force_high - 700) < 1e-6
    assert last.teeth_cutting == 1
    assert first.teeth_cutting == 25


def test_a_broach_too_slender_is_refused_as_a_column_however_strong_the_press() -> None:
    # b = 7, r = 2 mm: I = 7 x 8 / 12 = 4.667 mm4; with l = 156 mm, pi^2 E I / l^2 = 392 N against 2100 N.
    thin = BASE.but(broach={"root_height": MM(2)}, press={"rated_force": Force(900_000_000)})

    blocked = thin.answer()

    assert only_rule(blocked) is Rule.COLUMN
    assert "buckling ratio 0.19, at least 1," in words_of(blocked, Rule.COLUMN)
    assert thin.but(broach={"root_height": None}).answer().ready
    assert thin.but(hub={"material": None}).answer().ready


def test_the_roots_stress_refuses_what_would_not_buckle() -> None:
    # b r x 2000/3 = 7 x 9 x 2000/3 = 42 000 N at the root. With the ram 136 mm above the hub as tooth 7 enters, the
    # column with C = 2.05 would bear 2.05 pi^2 E I / 136^2 = 58 000 N. Three full teeth take 3 x kc x 0.35 mm2.
    def cut(kc: float) -> SetUp:
        return BASE.but(
            broach={"overall_length": MM(222)}, hub={"material": metal(kc=kc)}, press=None,
            settings={"column_ends": Fraction("2.05")},
        )  # fmt: skip

    assert 2.05 * pi**2 * 207_000 * (9 * 7**3 / 12) / 136**2 > 57_000
    assert cut(39_990).answer().ready
    assert only_rule(cut(40_010).answer()) is Rule.COLUMN


def test_the_broach_column_is_named_where_no_press_would_help_and_the_press_where_one_would() -> None:
    weak = BASE.but(press={"rated_force": Force(1_000)})

    assert only_rule(weak.answer()) is Rule.PRESS_FORCE
    assert only_rule(weak.but(broach={"root_height": MM(2)}).answer()) is Rule.COLUMN


def test_a_nanometre_of_bore_decides_nothing_that_play_does_not() -> None:
    wider = BASE.but(hub={"bore": Limits(MM(25), MM(25), MM(25) + NM)})

    def passes(setup: SetUp) -> list[Pass]:
        return [replace(one, band=None) for one in setup.answer().plans[0].passes]

    assert passes(wider) == passes(BASE)
