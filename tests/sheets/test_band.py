"""How sure a reading is, in words: every term with its share and source, the play, the ends, the sides, and what is left out."""

from __future__ import annotations

from dataclasses import replace

from broachplan.crib.records import Measurement
from broachplan.lengths import Length, Limits, Units
from broachplan.planner.answer import Answer
from broachplan.planner.bands import with_bands
from broachplan.planner.certainty import PriorReading
from broachplan.sheets.band import band_between, band_points
from broachplan.standards.named import Standard
from tests.planner.setups import BASE, MM, SetUp

LOOSE = BASE.but(
    hub={"bore": Limits(MM(25), MM(25), MM("25.021"))},
    keyway={"standard": Standard.INCH},
    measured={"G": Measurement("Height gauge no. 4"), "a": Measurement(to=Length(2_000)), "b": Measurement()},
)


def points(setup: SetUp, units: Units = Units.MM) -> list[str]:
    answer = setup.answer()
    return band_points(answer.plans[0], answer.hub, units)


def about(shown: list[str], word: str) -> str:
    (found,) = (point for point in shown if word in point)
    return found


def test_each_piece_has_its_share_and_its_source_or_memory() -> None:
    shown = points(LOOSE)

    # 10, 40, 4, 100 and 10 um wide, and four joints of 5 um: squares of 100, 1600, 16, 10000, 100 and 4 x 25 are 11916.
    assert about(shown, "broach K").endswith(
        "± 0.005 mm, 1% of the spread (measured with a micrometer: error_micrometer, from memory)"
    )
    assert (
        "± 0.020 mm, 13% of the spread (measured with a height gauge: error_height_gauge, from memory)"
        in about(shown, "web of bushing G")
    )
    assert "± 0.002 mm, 0% of the spread (as measured, kept with the piece)" in about(shown, "shim a")
    assert (
        "± 0.050 mm, 84% of the spread (how it was measured is not known: error_nominal, from memory)"
        in about(shown, "shim b:")
    )
    assert "oil in 4 joints, each: 0 to 0.005 mm, 1% of the spread (joint_film, from memory)" in about(
        shown, "oil"
    )


def test_a_figure_that_the_shop_set_is_no_longer_from_memory() -> None:
    shown = points(LOOSE.but(settings={"joint_film": Length(4_000)}))

    assert "0 to 0.004 mm, 1% of the spread (joint_film, set by the shop)" in about(shown, "oil")


def test_the_play_what_to_measure_first_the_ends_and_the_sides() -> None:
    shown = points(LOOSE)

    assert about(shown, "play of the bushing").endswith(
        "up to 0.041 mm deeper; it is counted in full, in no share"
    )
    assert about(shown, "Measure first").startswith(
        "Measure first: thickness of shim b; the band is then 0.0"
    )
    assert "two ends of the hub may be 0.041 mm apart" in about(shown, "two ends")
    # Half of slot and play; both together: ASME B17.1 allows 0.254 mm and 0.0508 mm.
    assert "up to 0.030 mm off the middle of the bore (the standard allows 0.254 mm)" in about(
        shown, "off the middle"
    )
    assert "lean up to 0.061 mm to a side over the hub (the standard allows 0.0508 mm)" in about(
        shown, "off the middle"
    )


def test_a_standard_without_limits_says_so_and_a_hub_past_its_bushing_tells_its_far_end() -> None:
    shown = points(LOOSE.but(keyway={"standard": Standard.METRIC}, bushing={"length": MM(10)}))

    assert about(shown, "off the middle").count("(no limit in the standard)") == 2
    # 17 mm on 10 mm: 1.7 times the play deeper, 0.7 times shallower.
    assert "up to 0.070 mm deeper, or up to 0.029 mm shallower" in about(shown, "longer than the bushing")


def test_what_is_left_out_is_said() -> None:
    shown = points(BASE)

    assert all(
        word in about(shown, "Left out")
        for word in ("burrs", "couple", "soft material", "spring of the press")
    )
    assert "in the middle of the bushing" in about(shown, "The slot is taken")
    assert "play of the bushing: none" in points(BASE.but(bushing={"outside_diameter": MM(25)}))
    assert "would not narrow" in about(shown, "Measuring anything again")


def after(setup: SetUp, shims: int, offset: Length) -> Answer:
    answer = setup.answer()
    bare = replace(answer, plans=tuple(replace(plan, cautions=()) for plan in answer.plans))
    return with_bands(
        bare, dict.fromkeys("KGabc", Measurement("caliper")), PriorReading(setup.shims[:shims], offset)
    )


def test_after_a_reading_the_gauge_and_the_oil_of_both_stacks_count() -> None:
    answer = after(BASE, 1, MM("0.01"))

    shown = band_points(answer.plans[0], answer.hub, Units.MM)

    assert "cancel out" in about(shown, "start from the last reading")
    assert "± 0.010 mm" in about(shown, "the gauge that took the last reading")
    assert "0 to 0.005 mm" in about(shown, "oil in 2 joints of the stack that was read, each")
    assert "0 to 0.005 mm" in about(shown, "oil in 4 joints, each")
    assert "up to 0.020 mm deeper, or up to 0.020 mm shallower" in about(shown, "play of the bushing")


def test_with_nothing_left_to_do_only_the_gauge_is_shown() -> None:
    answer = BASE.answer()
    done = replace(answer, plans=(replace(answer.plans[0], passes=(), reading=MM("28.1")),))
    plan = with_bands(done, {}).plans[0]

    assert band_points(plan, answer.hub, Units.MM) == [
        "Nothing is left to do: the reading is as good as the gauge, 28.090 to 28.110 mm."
    ]


def test_a_plan_without_bands_says_nothing_of_them() -> None:
    bare = replace(BASE.answer().plans[0], band=None, budget=None)

    assert band_points(bare, BASE.hub, Units.MM) == []
    assert band_between(None, Units.INCH) == ""
