"""Which pieces are hinted at for measuring: those with which run after run reads off to the same side."""

from __future__ import annotations

from fractions import Fraction
from statistics import fmean, stdev

from hypothesis import given
from hypothesis import strategies as st

from broachplan.lengths import Length
from broachplan.runs.acts.pushing import pushed
from broachplan.runs.acts.reading import read
from broachplan.runs.due import DueForMeasuring, LastReading, due_for_measuring, last_reading_of
from tests.runs.scenes import MM, begun, on_hand, then

HAND = on_hand()


def last(run: int, offset: int, *tags: str) -> LastReading:
    return LastReading(run, Fraction(offset), frozenset(tags))


def test_five_runs_off_by_the_same_make_a_piece_due() -> None:
    readings = [last(run, 9_000 + run, "G", f"S{run}") for run in range(5)]

    assert due_for_measuring(readings, {}) == (DueForMeasuring("G", Length(9_002), 5),)
    assert due_for_measuring(readings[:4], {}) == ()


def test_runs_that_scatter_about_plain_make_none_due() -> None:
    readings = [last(run, offset, "G") for run, offset in enumerate((-9, 9, -4, 4, 1))]

    assert due_for_measuring(readings, {}) == ()


def test_the_largest_share_of_the_band_comes_first() -> None:
    readings = [last(run, 9_000, "G", "K", "S") for run in range(5)]

    found = due_for_measuring(readings, {"K": Fraction(1, 2), "S": Fraction(1, 4)})

    assert [one.tag for one in found] == ["K", "S", "G"]


@given(st.lists(st.integers(-50, 50), min_size=5, max_size=12))
def test_the_comparison_in_squares_is_that_of_the_mean_with_three_standard_errors(offsets: list[int]) -> None:
    # Reference: the sample deviation of the standard library, in floats; what lies on the edge is left to the squares.
    most = 3 * stdev(offsets) / len(offsets) ** 0.5
    if abs(abs(fmean(offsets)) - most) < 1e-6:
        return

    found = due_for_measuring([last(run, offset, "G") for run, offset in enumerate(offsets)], {})

    assert bool(found) == (abs(fmean(offsets)) > most)


def test_the_last_reading_of_a_run_is_the_one_taken_last_after_a_last_pass() -> None:
    state = begun(quantity=2)
    assert last_reading_of(state) is None
    for t in ("28.11", "28.13"):
        state = then(state, pushed(state, HAND, through=4))
        state = then(state, read(state, HAND, [MM(t)]))

    found = last_reading_of(state)

    assert found == LastReading(7, Fraction(30_000), frozenset({"K", "G", "a", "b", "c"}))
