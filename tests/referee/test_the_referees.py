"""The referees against answers written out by hand: a referee that errs is worth nothing."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import asin, pi, sqrt

import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from broachplan.crib.shelf import Shelf
from broachplan.keyways.keyway import Keyway
from broachplan.lengths import Length, Limits
from broachplan.quantities import Area, Force
from broachplan.settings import Settings
from broachplan.standards.named import Standard
from broachplan.tooling.hub import Hub
from broachplan.tooling.materials import CuttingForce, Group, Material
from broachplan.tooling.pieces import Broach, Bushing, Press, Shim
from tests.referee.brute_force import (
    UNKNOWN,
    Best,
    Question,
    at_or_below_first_metal,
    best_plans,
    metal_area,
    possible,
    search,
)
from tests.referee.press_simulation import Metal, simulate

MM = 1_000_000


def mm(text: str) -> Length:
    return Length.mm(text)


BROACH = Broach(
    tag="K",
    keyway_width=mm("8"),
    body_width=mm("8"),
    first_tooth_height=mm("12.80"),
    last_tooth_height=mm("14.00"),
    tooth_pitch=mm("8"),
    rising_teeth=25,
)
BUSHING = Bushing(tag="G", outside_diameter=mm("24.98"), slot_width=mm("8.02"), web=mm("11.50"))


def shim(tag: str, thickness: str) -> Shim:
    return Shim(tag=tag, thickness=mm(thickness), width=mm("7.9"))


def worked_g1(*shims: Shim, material: Material | None = None, **changed: object) -> Question:
    """Bore 25 mm, keyway 8 mm, floor at 28.40 mm; 17 mm long, so that 3 teeth are in the cut."""
    hub = Hub(bore=Limits.exactly(mm("25")), length=mm("17"), material=material)
    keyway = Keyway(
        standard=Standard.OWN,
        shape=None,
        width=Limits(mm("8"), mm("7.98"), mm("8.02")),
        reading=Limits(mm("28.4"), mm("28.3"), mm("28.5")),
        aim=mm("28.4"),
        arc=mm("0.657"),
        depth_at_wall=mm("4.057"),
        source="worked example",
        status="given",
    )
    shelf = Shelf((BROACH,), (BUSHING,), shims, ())
    question = Question(hub, keyway, shelf, Settings())
    return replace(question, shelf=replace(shelf, **changed)) if changed else question


G1_SHIMS = (shim("S1", "1.0"), shim("S2", "1.0"), shim("S3", "0.9"))


def test_the_hand_worked_crib_takes_four_passes_with_the_larger_step_first() -> None:
    # A bite is at most 14.00 - 12.80 + 0.05 = 1.25, and 11.50 + 14.00 + 2.9 = 28.40.
    (best,) = best_plans(worked_g1(*G1_SHIMS))

    assert best.totals == (0, 1_000_000, 2_000_000, 2_900_000)
    assert best.stacks == ((), ("S1",), ("S1", "S2"), ("S1", "S2", "S3"))
    assert best.key[:4] == (4, 0, UNKNOWN, 0 + 1 + 2 + 3)
    assert best.key[5] == 0


def test_without_the_third_shim_no_stack_reaches_the_reading() -> None:
    best, broken = search(worked_g1(*G1_SHIMS[:2]))

    assert best == []
    assert not possible(worked_g1(*G1_SHIMS[:2]))
    assert possible(worked_g1(*G1_SHIMS))
    assert broken["reading"] == 3  # nothing, 1.0 and 2.0


def test_one_shim_for_the_last_total_is_fewer_than_three() -> None:
    (best,) = best_plans(worked_g1(*G1_SHIMS, shim("S4", "2.9")))

    assert best.stacks[-1] == ("S4",)
    assert best.key[3] == 0 + 1 + 2 + 1


def test_of_shims_that_tie_the_smaller_tag_by_code_point_is_taken() -> None:
    (best,) = best_plans(worked_g1(shim("b", "1"), shim("Z", "1"), shim("a", "1"), shim("c", "0.9")))

    assert best.stacks == ((), ("Z",), ("Z", "a"), ("Z", "a", "c"))


def test_the_tenths_off_aim_come_before_the_shims_handled() -> None:
    # 2.92 is 0.02 off aim: 10 x 0.02 / 0.2 = 1 tenth; 2.9 is on aim and takes a shim more.
    (best,) = best_plans(worked_g1(*G1_SHIMS, shim("S4", "2.92")))

    assert best.totals[-1] == 2_900_000
    (near,) = best_plans(worked_g1(*G1_SHIMS, shim("S4", "2.919999")))
    assert near.totals[-1] == 2_919_999


def test_a_step_of_one_bite_is_allowed_and_a_nanometre_more_is_not() -> None:
    most = 1_250_000
    allowed = worked_g1(shim("S1", "1.25"), shim("S2", "1.25"), shim("S3", "0.4"))
    one_over = worked_g1(Shim(tag="S1", thickness=Length(most + 1), width=mm("7.9")))

    assert best_plans(allowed)[0].totals == (0, most, 2 * most, 2_900_000)
    assert search(one_over)[1]["bite"] == 1


def test_the_first_push_may_stand_a_rise_into_the_corners_and_no_more() -> None:
    # sqrt(25^2 - 7^2) = 24 exactly, so the first metal is at (25 + 24) / 2 = 24.5.
    assert at_or_below_first_metal(24_500_000, 25_000_000, 7_000_000)
    assert not at_or_below_first_metal(24_500_000 + Fraction(1, 1000), 25_000_000, 7_000_000)


def test_a_press_that_cannot_push_three_whole_chips_forces_shorter_steps() -> None:
    # Two chips of 8 x 0.05 mm2 at 1000 N/mm2 are 800 N, x 1.3 = 1040 N; three are 1200 N, x 1.3 = 1560 N. Three in the
    # corners just under 25.0 are about 0.22 + 0.26 + 0.32 mm2: 810 N, x 1.3 = 1057 N.
    law = CuttingForce(1000.0, 0.0, "invented", "test")
    material = Material("m", Group.DUCTILE, law, law)
    question = worked_g1(*(shim(f"S{i}", "0.1") for i in range(4)), material=material)
    keyway = replace(question.keyway, reading=Limits(mm("25.2"), mm("25.2"), mm("25.2")), aim=mm("25.2"))

    def plans_under(rated: Force) -> list[Best]:
        presses = (Press(tag="P", rated_force=rated),)
        shelf = replace(question.shelf, presses=presses, bushings=(replace(BUSHING, web=mm("11.0")),))
        return best_plans(replace(question, keyway=keyway, shelf=shelf))

    assert plans_under(Force(1_720_000))[0].totals == (200_000,)  # 70 %: 1204 N
    assert plans_under(Force(1_720_000))[0].key[2] == 1560
    # Pass 1 to 25.1 puts two whole chips and the last of the corners together: 800 + 320 N.
    assert plans_under(Force(1_700_000))[0].totals == (100_000, 200_000)  # 70 %: 1190 N
    assert plans_under(Force(1_170_000))[0].totals == (0, 100_000, 200_000)  # 70 %: 819 N
    assert plans_under(Force(1_150_000)) == []  # 70 %: 805 N


def test_a_broach_too_slender_for_its_load_is_refused_as_a_column() -> None:
    law = CuttingForce(1000.0, 0.0, "invented", "test")
    material = Material("m", Group.DUCTILE, law, law)
    # 3 chips of 0.4 mm2: 1560 N on 25 teeth. Crushing of 8 x r: 8 r 2000/3 N, so r = 0.2925 carries 1560 N.
    short = replace(BROACH, front_length=mm("20"), overall_length=mm("212"))
    carries, breaks = (replace(short, root_height=Length(nm)) for nm in (12_000_000, 292_000))

    assert best_plans(worked_g1(*G1_SHIMS, material=material, broaches=(carries,)))
    best, broken = search(worked_g1(*G1_SHIMS, material=material, broaches=(breaks,)))
    assert best == []
    assert broken["column"]


def test_chip_room_holds_at_its_limit_and_fails_past_it() -> None:
    # 17 mm x 0.05 mm x 2 = 1.7 mm2.
    snug, tight = (replace(BROACH, gullet_area=Area(nm2)) for nm2 in (1_700_000_000_000, 1_699_999_999_999))

    assert best_plans(worked_g1(*G1_SHIMS, broaches=(snug,)))
    assert search(worked_g1(*G1_SHIMS, broaches=(tight,)))[1]["chip_room"] == 1


def test_the_smallest_press_that_will_do_is_taken_then_the_smaller_tag() -> None:
    # Three chips of 8 x 0.05 mm2 at 1000 N/mm2: 1200 N, and 1560 N with a dulled edge, 70 % of 2229 N.
    law = CuttingForce(1000.0, 0.0, "invented", "test")
    material = Material("m", Group.DUCTILE, law, law)

    def taken(**newtons: int) -> str | None:
        presses = tuple(Press(tag=tag, rated_force=Force(1000 * force)) for tag, force in newtons.items())
        return best_plans(worked_g1(*G1_SHIMS, presses=presses, material=material))[0].press

    assert taken(C=9000, B=5000, A=5000) == "A"
    assert taken(C=2230, B=2228, A=2228) == "C"
    assert taken(C=1720, B=1718, A=1714) == "B"
    assert best_plans(worked_g1(*G1_SHIMS, presses=(Press(tag="A", rated_force=Force(1)),)))[0].press is None


def test_the_corner_area_is_a_square_corner_less_its_circle() -> None:
    # The whole of a keyway as wide as the bore, from the centre to the top: a rectangle less half a disc.
    assert metal_area(10.0, 20.0, 20.0, 20.0) == pytest.approx(20 * 10 - pi * 100 / 2)
    assert metal_area(20.0, 21.0, 20.0, 6.0) == pytest.approx(6.0)


def test_the_simulated_metal_begins_at_the_corner_of_a_three_four_five_bore() -> None:
    assert Metal(25 * MM, 7 * MM).surface == pytest.approx(24.5 * MM, abs=0.01)
    assert Metal(25 * MM, 7 * MM).wide(30.0 * MM) == 7 * MM


@hypothesis_settings(max_examples=60, deadline=None)
@given(st.integers(6, 60), st.integers(10, 95), st.integers(1, 4000), st.integers(1, 4000))
def test_two_ways_of_adding_up_a_chip_agree(bore: int, share: int, rest: int, deep: int) -> None:
    width = bore * share / 100
    metal = Metal(bore * MM, round(width * MM))
    metal.plane(Fraction(round(metal.surface + rest * 1000)))
    low, high = metal.surface / MM, metal.surface / MM + deep / 1000

    chip = metal.plane(Fraction(round(high * MM)))

    assert chip.area == pytest.approx(metal_area(low, high, bore, width), rel=1e-5, abs=1e-9)


def test_a_simulated_push_past_the_bore_takes_whole_rectangles() -> None:
    hub = worked_g1().hub
    pushes = simulate(hub, BROACH, BUSHING, (0, 1_000_000, 2_000_000, 2_900_000))

    assert [push.reading for push in pushes] == [25_500_000, 26_500_000, 27_500_000, 28_400_000]
    last = pushes[-1]
    # 0.9 of step under a rise of 1.2 in all: the first six teeth reach no metal, the seventh is level with it.
    assert last.first_bite == 0
    assert (last.teeth_cutting, last.teeth_in_cut) == (18, 3)
    assert last.largest_bite == pytest.approx(50_000)
    assert last.force(CuttingForce(1000.0, 0.0, "", "")) == pytest.approx(3 * 8 * 0.05 * 1000)
    assert sum(chip.area for chip in last.chips) == pytest.approx(8 * 0.9)


def test_a_simulated_first_push_takes_the_corners_of_the_circle() -> None:
    push = simulate(worked_g1().hub, BROACH, BUSHING, (0,))[0]
    first_metal = 12.5 + sqrt(25**2 - 8**2) / 2
    segment = 12.5**2 * asin(4 / 12.5) - 4 * sqrt(12.5**2 - 4**2)

    # Everything below 25.50: the rectangle over the corners, less the circle's segment over the chord.
    assert sum(chip.area for chip in push.chips) == pytest.approx(
        8 * (25.5 - first_metal) - segment, rel=1e-6
    )
    assert push.first_bite == 0
    assert push.teeth_cutting == sum(24.3 + 0.05 * tooth > first_metal for tooth in range(25))
