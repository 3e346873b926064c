"""What press and broach bear, in readings: no order of passes goes past what the bounds allow it."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import inf

import pytest
from hypothesis import assume, given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from broachplan.cut.load import LoadModel
from broachplan.cut.section import Section
from broachplan.cut.teeth import Teeth
from broachplan.lengths import Length
from broachplan.planner.bearing import Bearing
from broachplan.planner.presses import MostForce
from broachplan.tooling.materials import CuttingForce

MM = Length.mm
# First metal at (25 + 24) / 2 = 24.5 mm; 25 teeth that rise 0.05 mm.
SECTION = Section(MM(25), MM(7))
TEETH = Teeth(12_000_000, 13_200_000, 25, 25, 8_000_000, Fraction(50_000))
METAL = 24_500_000
ADVANCE = 1_250_000
LAWS = st.builds(
    CuttingForce, st.just(1500.0), st.sampled_from((0.0, 0.2, 0.5, 0.9)), st.just(""), st.just("read")
)


def bearing(law: CuttingForce, most_n: float = inf) -> Bearing:
    return Bearing(LoadModel(SECTION, TEETH, 3, law), SECTION, TEETH, MostForce(inf, most_n))


@hypothesis_settings(deadline=None)
@given(
    LAWS,
    st.integers(METAL, METAL + 700_000),
    st.integers(0, 200_000),
    st.floats(0, 1),
    st.integers(1, ADVANCE),
)
def test_the_load_on_every_surface_lies_between_the_least_and_the_most_of_all_of_them(
    law: CuttingForce, low: int, more: int, share: float, step: int
) -> None:
    model = LoadModel(SECTION, TEETH, 3, law)
    surface, offset = low + round(share * more), low + step - 13_200_000

    least, most = (over(offset, low, low + more) for over in (model.least_over, model.most_over))

    rounding = 1 + 1e-9
    assert least.peak_n <= model.of_pass(offset, surface).peak_n * rounding
    assert model.of_pass(offset, surface).peak_n <= most.peak_n * rounding


@hypothesis_settings(deadline=None)
@given(LAWS, LAWS, st.integers(METAL, METAL + 700_000), st.integers(1, ADVANCE))
def test_the_low_peak_is_that_of_the_low_law_and_within_its_share_of_the_high_one(
    low: CuttingForce, high: CuttingForce, surface: int, step: int
) -> None:
    alone = LoadModel(SECTION, TEETH, 3, low)
    both = LoadModel(SECTION, TEETH, 3, high, factor=1.3, low=alone)
    load = both.of_pass(surface + step - 13_200_000, surface)

    assert load.low_peak_n == alone.of_pass(surface + step - 13_200_000, surface).peak_n
    assert load.low_peak_n <= both.low_share * load.peak_n
    assert both.above_bore(step).low_peak_n == alone.above_bore(step).peak_n


@hypothesis_settings(deadline=None)
@given(LAWS, LAWS, st.integers(METAL, METAL + 700_000), st.integers(1, ADVANCE), st.floats(0.5, 2.0))
def test_a_pass_is_borne_when_both_of_its_peaks_are(
    low: CuttingForce, high: CuttingForce, surface: int, step: int, share: float
) -> None:
    both = LoadModel(SECTION, TEETH, 3, high, low=LoadModel(SECTION, TEETH, 3, low))
    load = both.of_pass(surface + step - 13_200_000, surface)

    by_low = Bearing(both, SECTION, TEETH, MostForce(share * load.low_peak_n, inf))
    by_high = Bearing(both, SECTION, TEETH, MostForce(inf, share * load.peak_n))

    assert by_low.bears(load) is (load.low_peak_n <= share * load.low_peak_n)
    assert by_high.bears(load) is (load.peak_n <= share * load.peak_n)


@hypothesis_settings(deadline=None)
@given(LAWS, st.lists(st.integers(1, ADVANCE), min_size=1, max_size=4), st.integers(1, 3000))
def test_no_passes_that_are_borne_go_past_the_farthest(
    law: CuttingForce, steps: list[int], ceiling: int
) -> None:
    able, before, reading = bearing(law), None, METAL
    for number, step in enumerate(steps, 1):
        after = reading + step
        if not able.bears(able.load(before, after), ceiling):
            return
        assume(number > 1 or after <= METAL + ADVANCE)
        assert after <= able.farthest(number, ceiling)
        before = reading = after


@hypothesis_settings(deadline=None)
@given(LAWS, st.integers(METAL + 1, METAL + 2_000_000), st.sampled_from((0.9, 0.5, 0.2)))
def test_the_sure_step_is_borne_from_every_surface(law: CuttingForce, surface: int, share: float) -> None:
    most = share * bearing(law).model.above_bore(ADVANCE).peak_n
    able = bearing(law, most)

    assert able.bears(able.load(surface, surface + able.sure_step()))
    assert able.load(surface, surface + able.sure_step()).peak_n <= able.peak_of_any_pass


def test_above_the_bore_a_pass_goes_one_sure_step_farther() -> None:
    # kc 2000 and a chip of 7 x 0.05 mm: 700 N a tooth, so that 700 N bears a step of one rise and no more.
    able = bearing(CuttingForce(2000.0, 0.0, "", "read"), 700.0001)

    assert able.sure_step() == 50_000
    far = [able.farthest(passes) for passes in range(1, 40)]
    above = [reading for reading in far if reading > 25_000_000]
    assert [b - a for a, b in pairwise(above)] == [50_000] * (len(above) - 1)
    assert above


@pytest.mark.parametrize("passes", [1, 2, 5])
def test_where_not_even_the_first_pass_is_borne_nothing_is_reached(passes: int) -> None:
    assert bearing(CuttingForce(2000.0, 0.0, "", "read"), -1.0).farthest(passes) == 0
