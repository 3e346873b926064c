"""Three figures of a broach, three of a bushing and two of a shim make a plan; what else is unknown is named."""

from __future__ import annotations

from typing import Any

import pytest

from broachplan.lengths import Length
from broachplan.planner.answer import Answer, Rule, Warn
from broachplan.quantities import Area
from broachplan.tooling.pieces import Broach, Bushing, Shim
from tests.planner.setups import BASE, MM, NM, SetUp, limits, only_rule, shim, totals_of_best, warned

BARE = BASE.but(
    broach=Broach(tag="K", keyway_width=MM(7), first_tooth_height=MM(12), last_tooth_height=MM("13.2")),
    bushing=Bushing(tag="G", outside_diameter=MM("24.98"), slot_width=MM("7.02"), web=MM(12)),
    shims=tuple(
        Shim(tag=tag, thickness=MM(size), width=MM(7)) for tag, size in (("a", 1), ("b", 1), ("c", "0.9"))
    ),
)


def shown(answer: Answer) -> list[str]:
    """What the best plan says was not checked, a line a piece."""
    return [one.text for one in answer.plans[0].cautions if one.rule is Warn.NOT_CHECKED]


def line(answer: Answer, piece: str) -> str:
    """The one line about a piece."""
    (found,) = [text for text in shown(answer) if text.startswith(f"{piece}: ")]
    return found


def test_eight_figures_make_the_same_passes_as_all_of_them() -> None:
    answer = BARE.answer()

    assert totals_of_best(answer) == totals_of_best(BASE.answer()) == [MM(0), MM(1), MM(2), MM("2.9")]
    assert answer.plans[0].reading == MM("28.1")


def test_what_follows_from_teeth_and_pitch_is_not_known_and_no_press_is_chosen() -> None:
    best = BARE.answer().plans[0]

    assert best.press is None
    for one in best.passes:
        assert (one.largest_bite, one.teeth_cutting, one.teeth_in_cut) == (None, None, None)
        assert (one.force_low, one.force_high) == (None, None)
    # The first tooth reaches 12 + 12 + 1 = 25 mm and finds 25.2 mm: it is clear.
    assert {one.first_bite for one in best.passes} == {Length(0)}


def test_each_piece_says_once_what_was_not_checked_and_how_to_measure_it() -> None:
    answer = BARE.answer()

    assert [text.partition(":")[0] for text in shown(answer)] == ["broach K", "bushing G", "shim a, b, c"]
    broach = line(answer, "broach K")
    for check in (
        "the body in the slot",
        "two teeth always in the cut",
        "room for the chip",
        "the force on the press",
    ):
        assert check in broach
    for figure in (
        "body width",
        "rising teeth",
        "tooth pitch",
        "root height",
        "pilot length",
        "overall length",
    ):
        assert f"{figure} (" in broach
    assert "tooth pitch (caliper over ten pitches" in broach
    assert "length (caliper" in line(answer, "bushing G")


def test_the_press_that_is_named_is_used_though_the_load_is_not_known() -> None:
    best = BARE.answer(press="P").plans[0]

    assert best.press == BASE.press
    assert Warn.NO_PRESS not in {one.rule for one in best.cautions}


def test_no_press_is_said_of_a_crib_without_one_alone() -> None:
    assert Warn.NO_PRESS not in warned(BARE.answer())
    assert Warn.NO_PRESS in warned(BARE.but(press=None).answer())


def test_a_press_without_room_refuses_though_the_load_is_not_known() -> None:
    unspaced = BASE.but(broach={"tooth_pitch": None})

    assert only_rule(unspaced.but(press={"opening": MM(229) - NM}).answer()) is Rule.OPENING
    assert only_rule(BARE.but(press={"throat": MM(30) - NM}).answer()) is Rule.THROAT


# -- one figure at a time --------------------------------------------------------------------------------------


def test_a_body_that_was_not_measured_leaves_the_keyway_width_to_fit_the_slot() -> None:
    unknown = BASE.but(broach={"body_width": None})

    assert unknown.but(bushing={"slot_width": MM(7)}).answer().ready
    assert only_rule(unknown.but(bushing={"slot_width": MM(7) - NM}).answer()) is Rule.SLOT_FIT
    # A body wider than the teeth would not go in.
    wide = BASE.but(broach={"body_width": MM("7.03")})
    assert only_rule(wide.answer()) is Rule.SLOT_FIT
    assert "the broach as a column" in line(unknown.answer(), "broach K")
    assert unknown.answer().plans[0].press is not None


def test_teeth_that_were_not_counted_may_stand_no_rise_past_first_metal() -> None:
    # First metal at 24.5 mm: web and first tooth of 12 mm may make just that; counted, one rise of 0.05 mm more.
    def webbed(web: Length, **teeth: Any) -> SetUp:
        end = web + MM("13.2")
        drawing = {"reading": limits(end, end + MM("0.1")), "aim": end}
        return BASE.but(broach=teeth, bushing={"web": web}, keyway=drawing)

    assert webbed(MM("12.5"), rising_teeth=None).answer().ready
    assert only_rule(webbed(MM("12.5") + NM, rising_teeth=None).answer()) is Rule.ENTRY
    assert webbed(MM("12.55")).answer().ready


def test_teeth_that_were_not_counted_may_step_no_further_than_they_are_high() -> None:
    # 13.2 - 12 = 1.2 mm; counted, one rise of 0.05 mm more.
    def stepped(step: Length, **teeth: Any) -> SetUp:
        end = MM("25.2") + step
        drawing = {"reading": limits(end, end), "aim": end}
        return BASE.but(broach=teeth, keyway=drawing, shims=(shim("a", step),))

    assert stepped(MM("1.2"), rising_teeth=None).answer().ready
    assert only_rule(stepped(MM("1.2") + NM, rising_teeth=None).answer()) is Rule.BITE
    assert stepped(MM("1.25")).answer().ready


@pytest.mark.parametrize("figure", ["tooth_pitch", "rising_teeth"])
def test_without_pitch_or_teeth_no_chip_is_known_so_no_gullet_is_too_small(figure: str) -> None:
    full = {"gullet_area": Area(1)}

    assert only_rule(BASE.but(broach=full).answer()) is Rule.CHIP_ROOM
    unknown = BASE.but(broach=full | {figure: None}).answer()
    assert unknown.ready
    assert Warn.CHIP_ROOM_TIGHT not in warned(unknown)
    assert "room for the chip" in line(unknown, "broach K")


def test_without_a_pitch_nobody_knows_whether_two_teeth_are_in_the_cut() -> None:
    short = BASE.but(hub={"length": MM(10)})

    assert only_rule(short.answer()) is Rule.ENGAGEMENT
    unknown = short.but(broach={"tooth_pitch": None}).answer()
    assert unknown.ready
    assert "two teeth always in the cut" in line(unknown, "broach K")
    assert {one.teeth_in_cut for one in unknown.plans[0].passes} == {None}
    assert {one.teeth_cutting for one in unknown.plans[0].passes} != {None}


def test_with_a_pitch_the_teeth_in_the_cut_are_known_though_nobody_counted_them() -> None:
    uncounted = BASE.but(broach={"rising_teeth": None}).answer()

    # 17 mm of hub and 8 mm of pitch: three.
    assert {one.teeth_in_cut for one in uncounted.plans[0].passes} == {3}
    assert {one.teeth_cutting for one in uncounted.plans[0].passes} == {None}


@pytest.mark.parametrize("figure", ["root_height", "overall_length"])
def test_without_root_or_overall_length_the_force_is_known_and_the_column_is_not(figure: str) -> None:
    answer = BASE.but(broach={figure: None}).answer()

    assert answer.plans[0].press is not None
    assert answer.plans[0].passes[0].force_high is not None
    assert "the broach as a column" in line(answer, "broach K")


def test_a_pair_whose_load_is_known_comes_before_one_whose_load_is_not() -> None:
    # The same broach under a smaller tag, its teeth not counted.
    twin = Broach(tag="A", keyway_width=MM(7), first_tooth_height=MM(12), last_tooth_height=MM("13.2"))
    both = BASE.but(more=(twin,))

    assert [one.broach.tag for one in both.answer().plans] == ["K", "A"]
    # Where no material is named neither is known, and the smaller tag goes first.
    assert [one.broach.tag for one in both.but(hub={"material": None}).answer().plans] == ["A", "K"]


def test_what_is_measured_is_not_named() -> None:
    assert shown(BASE.answer()) == []
