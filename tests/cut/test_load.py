"""Loads against sums written out tooth by tooth, areas against numeric integration, the column against Euler."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from math import acos, inf, pi, sqrt

import pytest
from hypothesis import assume, given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from broachplan.cut.load import BroachColumn, LoadModel, largest_that, teeth_room, whole_newtons
from broachplan.cut.section import Section
from broachplan.cut.teeth import Teeth
from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.quantities import Area
from broachplan.settings import Settings, changed
from broachplan.tooling.materials import CuttingForce
from broachplan.tooling.pieces import Broach

MM = Length.mm
BORE, WIDTH = 25.0, 7.0
FIRST_METAL = 24.5
SECTION = Section(MM(25), MM(7))
BROACH = Broach(
    tag="K",
    keyway_width=MM(7),
    body_width=MM("6.9"),
    first_tooth_height=MM(12),
    last_tooth_height=MM("13.2"),
    tooth_pitch=MM(8),
    rising_teeth=25,
    finishing_teeth=2,
    root_height=MM(9),
    front_length=MM(30),
    overall_length=MM(260),
)
TEETH = Teeth.of(BROACH)
# Heights of 25 mm are floats good to 4e-15 mm: at kc = 2000 and 7 mm, some 1e-10 N a tooth.
ROUNDING_N = 1e-6
CONSTANT = CuttingForce(2000.0, 0.0, "invented", "read")
POWER = CuttingForce(1500.0, 0.25, "invented", "read")


def metal_across(height: float) -> float:
    """Width of metal in the slot at a height: the keyway's width less the bore's chord there, mm."""
    radius = BORE / 2
    z = height - radius
    chord = 2 * sqrt(radius**2 - z**2) if abs(z) < radius else 0.0
    return max(0.0, WIDTH - chord)


def simpson(low: float, high: float, parts: int = 2000) -> float:
    """The integral of the metal's width, by Simpson's rule on each side of the bore's far wall."""
    if high <= low:
        return 0.0
    total = 0.0
    stops = sorted({low, high, *(stop for stop in (FIRST_METAL, BORE) if low < stop < high)})
    for a, b in pairwise(stops):
        step = (b - a) / parts
        inner = sum((4 if i % 2 else 2) * metal_across(a + i * step) for i in range(1, parts))
        total += step / 3 * (metal_across(a) + inner + metal_across(b))
    return total


@hypothesis_settings(max_examples=25, deadline=None)
@given(st.floats(24.0, 25.6), st.floats(24.0, 25.6))
def test_the_area_of_a_layer_is_the_integral_of_its_width(one: float, other: float) -> None:
    # Near the far wall the chord falls as a square root, where Simpson's rule is good to about 1e-5 of the span.
    low, high = sorted((one, other))

    assert SECTION.area_mm2(low, high) == pytest.approx(simpson(low, high), abs=2e-5)


def test_the_area_of_the_corners_as_the_model_writes_it() -> None:
    # area(z0, z1) = B (t1 - t0) - [z sqrt(rho^2 - z^2) + rho^2 asin(z / rho)], from first metal to the far wall:
    # 7 x 0.5 less half the segment over a chord of 7 mm: rho^2 acos(12 / 12.5) - 12 x 3.5, twice the half-angle.
    segment = 12.5**2 * acos(12 / 12.5) - 12 * 3.5

    assert SECTION.area_mm2(FIRST_METAL, BORE) == pytest.approx(7 * 0.5 - segment, abs=1e-12)
    assert SECTION.area_mm2(20.0, 30.0) == pytest.approx(7 * 5.5 - segment, abs=1e-12)


def test_over_the_bore_a_layer_is_as_wide_as_the_broach() -> None:
    assert SECTION.area_mm2(25.0, 25.05) == pytest.approx(7 * 0.05, abs=1e-12)
    assert SECTION.area_mm2(26.0, 26.05) == pytest.approx(7 * 0.05, abs=1e-12)


def summed(law: CuttingForce, in_cut: int, base: float, surface: float, factor: float = 1.0) -> list[float]:
    """The force with tooth j just in: kc x area of the m teeth up to j, chip by chip (finishing teeth find nothing)."""
    forces, found = [], surface
    for tooth in range(27):
        reach = base + min(tooth, 24) * 0.05
        h = max(0.0, reach - found)
        kc = law.kc11 * max(h, 0.02) ** -law.mc
        forces.append(factor * kc * SECTION.area_mm2(found, reach) if h > 1e-9 else 0.0)
        found = max(found, reach)
    return [sum(forces[max(0, j - in_cut + 1) : j + 1]) for j in range(27)]


@hypothesis_settings(deadline=None)
@given(
    st.sampled_from([CONSTANT, POWER]),
    st.integers(1, 8),
    st.integers(11_000_000, 12_549_999),
    st.none() | st.integers(24_500_001, 26_000_000),
    st.sampled_from([1.0, 1.3]),
)
def test_the_load_of_a_pass_is_the_largest_sum_of_the_teeth_in_the_cut(
    law: CuttingForce, in_cut: int, offset: int, surface: int | None, factor: float
) -> None:
    found = 24_500_000 if surface is None else surface
    assume(offset + 12_000_000 <= found + 50_000)
    expected = summed(law, in_cut, offset / 1e6 + 12.0, found / 1e6, factor)

    load = LoadModel(SECTION, TEETH, in_cut, law, factor=factor).of_pass(offset, surface)

    assert load.peak_n == pytest.approx(max(expected), rel=1e-6, abs=1e-2)
    assert (load.column_ratio, load.column_holds) == (inf, True)


@pytest.mark.parametrize("in_cut", [1, 3, 5])
def test_with_all_teeth_in_full_bite_the_peak_is_kc_times_width_times_rise_times_teeth(in_cut: int) -> None:
    flat = LoadModel(SECTION, TEETH, in_cut, CONSTANT).above_bore(1_200_000)

    assert flat.peak_n == pytest.approx(in_cut * 2000 * 7 * 0.05)


def test_a_first_tooth_above_the_floor_bears_its_share() -> None:
    # All 25 teeth together take all that the last one reaches, 0.04 mm of it the first.
    together = LoadModel(SECTION, TEETH, 27, CONSTANT).of_pass(13_040_000, 25_000_000)
    assert together.peak_n == pytest.approx(2000 * 7 * 1.24)
    # It takes 0.2 mm where the others take 0.05.
    assert LoadModel(SECTION, TEETH, 1, CONSTANT).of_pass(13_200_000, 25_000_000).peak_n == pytest.approx(
        2800
    )


@hypothesis_settings(deadline=None)
@given(st.sampled_from([CONSTANT, POWER]), st.integers(1, 1_250_000), st.integers(24_500_001, 26_000_000))
def test_a_step_above_the_bore_bounds_the_same_step_anywhere(
    law: CuttingForce, step: int, surface: int
) -> None:
    model = LoadModel(SECTION, TEETH, 3, law)

    there = model.of_pass(surface + step - 13_200_000, surface).peak_n
    assert there <= model.above_bore(step).peak_n * (1 + 1e-9) + ROUNDING_N
    if surface >= 25_000_000:
        assert there == pytest.approx(model.above_bore(step).peak_n, rel=1e-6, abs=ROUNDING_N)


@hypothesis_settings(deadline=None)
@given(
    st.sampled_from([CONSTANT, POWER]),
    st.integers(24_500_000, 25_500_000),
    st.integers(1, 1_250_000),
    st.data(),
)
def test_from_one_surface_a_longer_step_never_loads_the_press_less(
    law: CuttingForce, surface: int, step: int, data: st.DataObject
) -> None:
    shorter = data.draw(st.integers(1, step))
    model = LoadModel(SECTION, TEETH, 3, law)

    long, short = (model.of_pass(surface + s - 13_200_000, surface).peak_n for s in (step, shorter))
    assert short <= long * (1 + 1e-9) + ROUNDING_N


def test_a_thin_chip_costs_more_a_square_millimetre() -> None:
    # kc = kc1.1 h^-mc, h not below 0.02 mm (Kienzle's law).
    assert POWER.at(0.05) == pytest.approx(1500 * 0.05**-0.25)
    assert POWER.at(0.001) == pytest.approx(1500 * 0.02**-0.25)
    assert CONSTANT.at(0.001) == 2000


# -- the broach as a column ------------------------------------------------------------------------------------


# Shigley's Mechanical Engineering Design, table of end-condition constants for Euler's column: theoretical,
# conservative, recommended (the last only where the load is accurately known). From memory.
SHIGLEY_ENDS = {
    "fixed and free": (0.25, 0.25, 0.25),
    "rounded and rounded": (1, 1, 1),
    "fixed and rounded": (2, 1, 1.2),
    "fixed and fixed": (4, 1, 1.2),
}
CONSERVATIVE = float(Settings().column_ends)


@pytest.mark.parametrize(("ends", "values"), SHIGLEY_ENDS.items())
def test_the_column_carries_what_shigleys_end_conditions_say(ends: str, values: tuple[float, ...]) -> None:
    unit = BroachColumn.of(BROACH, TEETH, 1.0)
    assert unit is not None
    low, high = setting_range("column_ends")
    for value in values:
        column = BroachColumn.of(BROACH, TEETH, value)
        assert column is not None
        assert column.critical_n[0] == pytest.approx(value * unit.critical_n[0]), ends
        assert low <= value <= high
    if ends == "fixed and rounded":
        assert values[1] == CONSERVATIVE


def setting_range(name: str) -> tuple[float, float]:
    """The least and the most that a setting takes, by what its refusal says is right."""
    with pytest.raises(InputError) as refused:
        changed(Settings(), name, "0")
    found = re.search(r"from ([\d.]+) to ([\d.]+)", str(refused.value))
    assert found is not None
    return float(found[1]), float(found[2])


def test_the_column_is_eulers_with_the_ram_nearer_at_every_tooth() -> None:
    # C pi^2 E I / l^2, E = 207 000 N/mm2, I = min(b r^3, r b^3) / 12, b = min(6.9, 7),
    # l = overall - front - j P: ram to hub while tooth j enters.
    inertia = min(6.9 * 9**3, 9 * 6.9**3) / 12
    column = BroachColumn.of(BROACH, TEETH, 1.0)

    assert column is not None
    assert len(column.critical_n) == 27
    for j, critical in enumerate(column.critical_n):
        assert critical == pytest.approx(pi**2 * 207_000 * inertia / (260 - 30 - 8 * j) ** 2, rel=1e-12)


def test_a_flat_root_bends_over_its_height_and_a_tall_one_over_its_width() -> None:
    flat = BroachColumn.of(replace(BROACH, root_height=MM(3)), TEETH, 1.0)

    assert flat is not None
    assert flat.critical_n[0] == pytest.approx(pi**2 * 207_000 * 6.9 * 3**3 / 12 / 230**2)


def test_a_keyway_narrower_than_the_body_is_what_bends() -> None:
    narrow = BroachColumn.of(replace(BROACH, keyway_width=MM(5)), TEETH, 1.0)

    assert narrow is not None
    assert narrow.critical_n[0] == pytest.approx(pi**2 * 207_000 * 9 * 5**3 / 12 / 230**2)


def test_the_root_bears_a_third_of_2000_newtons_a_square_millimetre_at_most() -> None:
    column = BroachColumn.of(BROACH, TEETH, 1.0)

    assert column is not None
    assert column.root_n == pytest.approx(6.9 * 9 * 2000 / 3)
    assert column.allowed(0, 1.5) == pytest.approx(column.critical_n[0] / 1.5)
    assert column.allowed(26, 1.5) == pytest.approx(column.root_n)


@pytest.mark.parametrize(
    "figure", ["root_height", "front_length", "overall_length", "body_width", "keyway_width"]
)
def test_a_broach_that_lacks_a_figure_is_no_column(figure: str) -> None:
    assert BroachColumn.of(replace(BROACH, **{figure: None}), TEETH, 1.0) is None


def test_a_tooth_that_enters_with_the_ram_at_the_hub_cannot_buckle() -> None:
    stub = replace(BROACH, overall_length=MM(30 + 8 * 26))
    column = BroachColumn.of(stub, TEETH, 1.0)

    assert column is not None
    assert column.critical_n[26] == inf
    assert column.critical_n[25] < inf
    near = BroachColumn.of(replace(stub, overall_length=MM(30 + 8 * 26) + MM("0.5")), TEETH, 1.0)
    assert near is not None
    assert near.critical_n[26] == pytest.approx(column.critical_n[25] * 16**2)


@hypothesis_settings(deadline=None)
@given(st.integers(24_500_001, 25_500_000), st.integers(50_000, 1_250_000), st.integers(1, 5))
def test_the_column_holds_while_each_tooths_sum_is_within_what_it_allows(
    surface: int, step: int, in_cut: int
) -> None:
    column = BroachColumn.of(BROACH, TEETH, 1.0)
    assert column is not None
    offset = surface + step - 13_200_000
    sums = summed(CONSTANT, in_cut, offset / 1e6 + 12.0, surface / 1e6)
    allowed = [min(critical / 1.5, column.root_n) for critical in column.critical_n]
    share = max(force / most for force, most in zip(sums, allowed, strict=True))
    ratio = min(
        critical / force for force, critical in zip(sums, column.critical_n, strict=True) if force > 0
    )

    for times, holds in ((1.001, False), (0.999, True)):
        load = LoadModel(
            SECTION, TEETH, in_cut, CONSTANT, factor=times / share, column=column, settings=Settings(column_safety=Fraction(3, 2))
        ).of_pass(offset, surface)  # fmt: skip
        assert load.column_holds is holds
        assert load.column_ratio == pytest.approx(ratio / (times / share), rel=1e-4)


# -- small things ----------------------------------------------------------------------------------------------


def test_gullet_room_is_measured_or_a_ninth_of_the_pitch_squared() -> None:
    # Handbook layout of gullets, from memory: P^2 / 9.
    assert Fraction(*teeth_room(BROACH, TEETH)) == Fraction(8_000_000**2, 9)
    assert teeth_room(replace(BROACH, gullet_area=Area(5)), TEETH) == (5, 1)


@given(st.integers(-50, 50), st.integers(-50, 50), st.integers(-60, 60))
def test_the_largest_that_holds_up_to_some_point(low: int, high: int, last: int) -> None:
    found = largest_that(lambda n: n <= last, low, high)

    assert found == max((n for n in range(low, high + 1) if n <= last), default=low - 1)


@pytest.mark.parametrize(("force", "whole"), [(0.5, 0), (1.5, 2), (2.5, 2), (2.4999, 2), (2.5001, 3)])
def test_whole_newtons_are_rounded_half_even(force: float, whole: int) -> None:
    assert whole_newtons(force) == whole


@given(st.integers(20_000_000, 26_000_000))
def test_the_metal_at_a_height_is_as_wide_as_the_keyway_less_the_bores_chord(height: int) -> None:
    assert SECTION.metal_width_mm(height / 1e6) == pytest.approx(metal_across(height / 1e6), abs=1e-6)


def test_metal_begins_where_the_keyway_is_as_wide_as_the_chord_and_is_whole_over_the_bore() -> None:
    # A chord of 7 mm lies 12 mm from the middle of a bore of 25 mm, one of 6 mm as far as Pythagoras has it.
    assert SECTION.metal_width_mm(12.5) == 0
    assert SECTION.metal_width_mm(FIRST_METAL) == 0
    assert SECTION.metal_width_mm(12.5 + sqrt(12.5**2 - 3**2)) == pytest.approx(1)
    assert SECTION.metal_width_mm(25.0) == SECTION.metal_width_mm(30.0) == 7


@hypothesis_settings(deadline=None)
@given(st.sampled_from([0.0, 0.1, 0.25, 0.4]), st.integers(0, 1_000_000), st.integers(1, 500_000), st.data())
def test_from_the_orderly_surface_on_a_higher_one_never_loads_the_press_more(
    mc: float, over: int, more: int, data: st.DataObject
) -> None:
    model = LoadModel(SECTION, TEETH, 3, CuttingForce(1500.0, mc, "invented", "read"))
    surface = model.orderly_from_nm + over
    reach = data.draw(st.integers(surface + more + 1, surface + more + 1_200_000))

    low, high = (model.of_pass(reach - 13_200_000, each).peak_n for each in (surface, surface + more))
    assert high <= low * (1 + 1e-9) + ROUNDING_N


def test_without_a_rise_of_force_in_thin_chips_every_surface_is_orderly_and_with_much_of_it_few_are() -> None:
    def orderly(mc: float) -> float:
        return (
            LoadModel(SECTION, TEETH, 3, CuttingForce(1500.0, mc, "invented", "read")).orderly_from_nm / 1e6
        )

    assert orderly(0.0) == pytest.approx(FIRST_METAL, abs=1e-5)
    # By hand, as a share of the metal's width: 0.25 asks that the width a rise higher is at most four times that here.
    edge = next(
        h / 1000 for h in range(24_501, 25_001) if metal_across(h / 1000 + 0.05) <= 4 * metal_across(h / 1000)
    )
    assert edge <= orderly(0.25) <= edge + 2 * 0.5 / 128
    assert orderly(1.0) == pytest.approx(25, abs=2 * 0.5 / 128)
