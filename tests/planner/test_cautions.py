"""Each caution comes just past its limit and not at it; none of them refuses a plan."""

from __future__ import annotations

from fractions import Fraction
from math import pi

import pytest

from broachplan.lengths import Length, Limits
from broachplan.planner.answer import Warn
from broachplan.quantities import Area, Force
from broachplan.settings import Settings
from broachplan.tooling.hub import Hardness, Scale
from broachplan.tooling.materials import Group
from tests.planner.setups import BASE, MM, NM, SetUp, caution, limits, metal, shim, totals_of_best, warned

THOU = Length.inches("0.001")


def warns(setup: SetUp, rule: Warn) -> bool:
    """Whether the best plan, which there must be, carries a caution."""
    answer = setup.answer()
    assert answer.ready
    return rule in warned(answer)


def test_the_set_up_calls_for_no_caution() -> None:
    assert warned(BASE.answer()) == set()


@pytest.mark.parametrize(("group", "factor"), [(Group.BRITTLE, 4), (Group.DUCTILE, 5), (None, 5)])
def test_chip_room_is_tight_under_the_handbooks_layout_figures(group: Group | None, factor: int) -> None:
    # The handbook lays gullets out at 4 (brittle) or 5 (ductile) times the chip: here L x rise = 17 x 0.05 mm2.
    area = 17_000_000 * 50_000 * factor
    hub = {"material": metal(group) if group else None}

    assert not warns(BASE.but(broach={"gullet_area": Area(area)}, hub=hub), Warn.CHIP_ROOM_TIGHT)
    assert warns(BASE.but(broach={"gullet_area": Area(area - 1)}, hub=hub), Warn.CHIP_ROOM_TIGHT)


def test_a_broach_is_slender_under_three_times_its_load() -> None:
    # Euler's column, pi^2 E I / l^2, over the 2100 N of three full teeth. Pass 2 goes 1 mm past pass 1: teeth 0 to
    # 4 are clear, and 5, 6 and 7 are the first full set: l = 242 - 30 - 7 x 8 = 156 mm. Later teeth have less free length.
    inertia = min(7 * 9**3, 9 * 7**3) / 12
    critical = pi**2 * 207_000 * inertia / 156**2
    ratio = critical / 2100

    under, over = (Fraction(str(round(ratio + d, 4))) for d in (-0.001, 0.001))
    assert not warns(BASE.but(settings={"slender_ratio": under}), Warn.SLENDER)
    assert warns(BASE.but(settings={"slender_ratio": over}), Warn.SLENDER)
    assert f"{ratio:.1f} times the high force" in caution(
        BASE.but(settings={"slender_ratio": over}).answer(), Warn.SLENDER
    )


def test_without_a_material_or_a_root_no_broach_is_called_slender() -> None:
    slender = {"slender_ratio": Fraction(25)}

    assert warns(BASE.but(settings=slender), Warn.SLENDER)
    assert not warns(BASE.but(settings=slender, hub={"material": None}), Warn.SLENDER)
    assert not warns(BASE.but(settings=slender, broach={"root_height": None}), Warn.SLENDER)


def test_play_over_five_thou_is_loose() -> None:
    wide = {"reading": limits(MM("27.9"), MM("28.3"))}

    def upper(bore: Length) -> SetUp:
        return BASE.but(keyway=wide, hub={"bore": Limits(MM(25), MM(25), bore)})

    assert not warns(upper(MM("24.98") + THOU * 5), Warn.LOOSE)
    assert warns(upper(MM("24.98") + THOU * 5 + NM), Warn.LOOSE)


def test_play_over_half_the_readings_tolerance_is_loose() -> None:
    # Play 0.02 mm against a tolerance of 0.04 mm.
    half = {"reading": limits(MM("28.08"), MM("28.12"))}
    less = {"reading": limits(MM("28.08") + NM, MM("28.12"))}

    assert not warns(BASE.but(keyway=half), Warn.LOOSE)
    assert warns(BASE.but(keyway=less), Warn.LOOSE)


def test_a_step_under_a_thou_rubs() -> None:
    def last_step(step: Length) -> SetUp:
        # At a web of 12.55 mm the bare slot alone may go first.
        end = MM("25.75") + step
        drawing = {"reading": limits(end, end + MM("0.1")), "aim": end}
        return BASE.but(bushing={"web": MM("12.55")}, keyway=drawing, shims=(shim("a", step),))

    assert not warns(last_step(THOU), Warn.RUB)
    assert warns(last_step(THOU - NM), Warn.RUB)
    assert "pass 2 takes only 0.0010 in" in caution(last_step(THOU - NM).answer(), Warn.RUB)


def test_a_first_pass_that_barely_passes_first_metal_rubs() -> None:
    # The bare slot reads web + 13.2 against first metal at 24.5 mm. The shim of 1.25 mm could go first only while
    # web + 12 + 1.25 <= 24.55: past a web of 11.3 mm it is the bare slot that does.
    def webbed(web: Length) -> SetUp:
        end = web + MM("14.45")
        drawing = {"reading": limits(end, end + MM("0.1")), "aim": end}
        return BASE.but(bushing={"web": web}, shims=(shim("a", MM("1.25")),), keyway=drawing)

    assert warns(webbed(MM("11.3") + THOU - NM), Warn.RUB)
    assert not warns(webbed(MM("11.3") + THOU), Warn.RUB)


def test_a_shim_shorter_than_the_cut_is_named_by_its_tag() -> None:
    def long(length: Length | None) -> SetUp:
        return BASE.but(shims=(*BASE.shims[:2], shim("c", MM("0.9"), length=length)))

    assert not warns(long(None), Warn.SHIM_SHORT)
    assert not warns(long(MM(17)), Warn.SHIM_SHORT)
    assert "shim c;" in caution(long(MM(17) - NM).answer(), Warn.SHIM_SHORT)


def test_a_short_shim_that_is_not_used_is_not_mentioned() -> None:
    assert not warns(BASE.but(shims=(*BASE.shims, shim("d", MM(3), length=MM(5)))), Warn.SHIM_SHORT)


def test_a_hub_longer_than_the_bushing_is_not_guided_there() -> None:
    assert not warns(BASE.but(bushing={"length": MM(17)}), Warn.BUSHING_SHORT)
    assert not warns(BASE.but(bushing={"length": None}), Warn.BUSHING_SHORT)
    assert warns(BASE.but(bushing={"length": MM(17) - NM}), Warn.BUSHING_SHORT)
    assert warns(BASE.but(hub={"stack": 2}, bushing={"length": MM(33)}), Warn.BUSHING_SHORT)


@pytest.mark.parametrize(("scale", "limit"), [(Scale.HRC, 35), (Scale.HB, 327)])
def test_a_hub_above_the_shops_hardness_is_cautioned_about(scale: Scale, limit: int) -> None:
    # 35 HRC for high-speed steel, and 327 HB beside it (ASTM E140): both from memory.
    assert not warns(BASE.but(hub={"hardness": Hardness(limit, scale)}), Warn.HARD)
    assert warns(BASE.but(hub={"hardness": Hardness(limit + 1, scale)}), Warn.HARD)


def test_brinell_against_a_limit_nobody_converted_is_shown_as_not_checked() -> None:
    shop = BASE.but(settings={"hardness_hrc": 40}, hub={"hardness": Hardness(600, Scale.HB)})

    assert not warns(shop, Warn.HARD)
    shown = caution(shop.answer(), Warn.NOT_CHECKED)
    assert "the shop's limit of hardness (40 HRC). Not known: what 600 HB is in HRC" in shown
    assert warns(shop.but(hub={"hardness": Hardness(41, Scale.HRC)}), Warn.HARD)
    assert not warns(shop.but(hub={"hardness": Hardness(40, Scale.HRC)}), Warn.NOT_CHECKED)


def test_the_wall_over_the_keyway_is_the_outer_radius_less_the_floor_from_the_centre() -> None:
    # 60/2 - (28.15 - 25/2) = 14.35 mm at the deepest reading.
    assert not warns(BASE, Warn.WALL)
    assert not warns(BASE.but(settings={"wall_least": MM("14.35")}), Warn.WALL)
    thick = BASE.but(settings={"wall_least": MM("14.35") + NM})
    assert warns(thick, Warn.WALL)
    # 14.35 mm is 0.564961 in: what is at least is rounded up.
    assert "0.56496 in of wall is left over the keyway; the shop's limit is 0.56497 in" in caution(thick.answer(), Warn.WALL)  # fmt: skip
    assert not warns(thick.but(hub={"outside_diameter": None}), Warn.WALL)


def test_half_a_nanometre_of_wall_is_not_lost() -> None:
    odd = BASE.but(settings={"wall_least": MM("14.35")}, hub={"outside_diameter": MM(60) - NM})

    assert warns(odd, Warn.WALL)


def test_what_the_keyway_says_of_the_table_is_repeated() -> None:
    assert caution(BASE.but(keyway={"off_table": "the table's key is 8 mm"}).answer(), Warn.OFF_TABLE) == (
        "the table's key is 8 mm"
    )


def test_a_push_pin_is_wanted_where_the_shank_is_shorter_than_the_cut_and_the_collar() -> None:
    # Behind the last tooth: 242 - 30 - 24 x 8 = 20 mm; the cut is 17 mm.
    assert not warns(BASE.but(bushing={"collar_height": MM(3)}), Warn.PUSH_PIN)
    collared = BASE.but(bushing={"collar_height": MM("3.2")})
    assert warns(BASE.but(bushing={"collar_height": MM(3) + NM}), Warn.PUSH_PIN)
    assert "a push pin of at least 0.0079 in" in caution(collared.answer(), Warn.PUSH_PIN)
    assert warns(BASE.but(broach={"overall_length": MM(239) - NM}), Warn.PUSH_PIN)
    assert not warns(BASE.but(broach={"overall_length": MM(239)}), Warn.PUSH_PIN)


@pytest.mark.parametrize("figure", ["overall_length", "front_length"])
def test_no_push_pin_is_advised_for_a_broach_of_unknown_shank(figure: str) -> None:
    half_measured = BASE.but(broach={figure: None}, bushing={"collar_height": MM(50)})

    assert half_measured.answer().ready
    assert not warns(half_measured, Warn.PUSH_PIN)


def test_finishing_teeth_shorten_the_shank() -> None:
    assert not warns(BASE.but(broach={"finishing_teeth": 0}), Warn.PUSH_PIN)
    assert warns(BASE.but(broach={"finishing_teeth": 1}), Warn.PUSH_PIN)


@pytest.mark.parametrize(
    ("stroke", "pushes"), [(209_000_000, 1), (208_999_999, 2), (104_500_000, 2), (104_499_999, 3)]
)
def test_a_pass_takes_as_many_pushes_as_strokes_go_into_teeth_and_hub(stroke: int, pushes: int) -> None:
    # 24 x 8 + 17 = 209 mm.
    answer = BASE.but(press={"stroke": Length(stroke)}).answer()

    assert (Warn.RESETS in warned(answer)) is (pushes > 1)
    if pushes > 1:
        assert f": {pushes} pushes a pass" in caution(answer, Warn.RESETS)


def test_inch_and_metric_pieces_together_are_cautioned_about() -> None:
    mixed = BASE.but(bushing={"outside_diameter": Length.inches("0.9835")})

    assert warns(mixed, Warn.MIXED_UNITS)
    assert "bushing G in inches" in caution(mixed.answer(), Warn.MIXED_UNITS)
    assert "broach K" in caution(mixed.answer(), Warn.MIXED_UNITS)


def test_a_missing_material_and_a_missing_press_are_cautioned_about() -> None:
    assert warned(BASE.but(hub={"material": None}).answer()) == {Warn.NO_MATERIAL}
    assert warned(BASE.but(press=None).answer()) == {Warn.NO_PRESS}


def test_without_a_material_there_are_no_forces_and_no_talk_of_the_column() -> None:
    bare = BASE.but(hub={"material": None}, broach={"root_height": None}).answer()

    assert {one.force_high for one in bare.plans[0].passes} == {None}
    assert Warn.NOT_CHECKED not in warned(bare)
    assert Warn.NOT_CHECKED in warned(BASE.but(broach={"root_height": None}).answer())


def test_a_caution_never_takes_a_plan_away() -> None:
    troubled = BASE.but(
        settings=Settings(slender_ratio=Fraction(25), wall_least=MM(20), hardness_hrc=1, rub_step=MM(5), joint_film=MM(1)),
        hub={"hardness": Hardness(60, Scale.HRC)},
        bushing={"length": MM(1), "collar_height": MM(9)},
        press={"stroke": MM(9), "rated_force": Force(90_000_000)},
        keyway={"off_table": "another key"},
    )  # fmt: skip

    answer = troubled.answer()

    assert totals_of_best(answer) == totals_of_best(BASE.answer())
    assert warned(answer) >= {
        Warn.SLENDER, Warn.WALL, Warn.HARD, Warn.RUB, Warn.BAND, Warn.BUSHING_SHORT, Warn.PUSH_PIN, Warn.RESETS,
        Warn.OFF_TABLE,
    }  # fmt: skip
    assert all("\n" not in one.text for one in answer.plans[0].cautions)
