"""Every total a drawer can make, against all combinations of its shims; both ways of keeping them answer alike."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.lengths import Length
from broachplan.planner import bits
from broachplan.planner.stacks import FewTotals, ManyTotals, Totals, totals_of
from broachplan.tooling.pieces import Shim

KEPT = [FewTotals, ManyTotals]
# Tags whose order by code point is not the order of a dictionary.
TAGS = ["b", "B", "a2", "a10", "Z", "z", "10", "9", "a-1", "a 1"]


@st.composite
def drawers(draw: st.DrawFn, unit: int = 1000, least: int = 0) -> list[Shim]:
    """Shims in any order; many of like thickness, so that totals come about in several ways."""
    tags = draw(st.lists(st.sampled_from(TAGS), unique=True, min_size=least, max_size=8))
    return [Shim(tag=tag, thickness=Length(unit * draw(st.integers(1, 12)))) for tag in tags]


def best_stacks(shims: list[Shim], stack_most: int, most_nm: int) -> dict[int, tuple[str, ...]]:
    """For each total its fewest shims, then the smallest sorted list of tags: by all combinations."""
    found: dict[int, tuple[str, ...]] = {}
    for count in range(stack_most + 1):
        stacks = sorted(
            combinations(sorted(shims, key=lambda s: s.tag), count), key=lambda c: [s.tag for s in c]
        )
        for stack in stacks:
            total = sum(s.thickness.nm for s in stack)
            if total <= most_nm:
                found.setdefault(total, tuple(s.tag for s in stack))
    return found


def unpacked(totals: Totals, places: int) -> set[int]:
    return {totals.nm(place) for place in bits.members(places)}


@pytest.mark.parametrize("kept", KEPT)
@given(drawers(), st.integers(0, 5), st.integers(0, 60_000))
def test_all_totals_of_a_drawer_come_out_with_their_fewest_shims_and_smallest_tags(
    kept: type[FewTotals | ManyTotals], shims: list[Shim], stack_most: int, most: int
) -> None:
    expected = best_stacks(shims, stack_most, most)

    totals = totals_of(shims, stack_most, most, kept)

    assert unpacked(totals, totals.every) == set(expected)
    assert {nm: len(tags) for nm, tags in expected.items()} == {
        nm: count for count, places in enumerate(totals.by_count) for nm in unpacked(totals, places)
    }
    for place in bits.members(totals.every):
        tags = tuple(s.tag for s in totals.stack(place))
        assert tags == expected[totals.nm(place)]
        assert totals.count(place) == len(tags)


@pytest.mark.parametrize("kept", KEPT)
@given(drawers(least=1), st.integers(1, 4))
def test_the_order_of_the_drawer_does_not_matter(
    kept: type[FewTotals | ManyTotals], shims: list[Shim], stack_most: int
) -> None:
    one, other = (totals_of(order, stack_most, 40_000, kept) for order in (shims, shims[::-1]))

    assert (one.every, one.by_count) == (other.every, other.by_count)
    assert all(one.stack(place) == other.stack(place) for place in bits.members(one.every))


@given(drawers(unit=1270), st.integers(0, 4), st.integers(0, 60_000))
def test_either_way_of_keeping_a_drawer_makes_the_same_stacks(
    shims: list[Shim], stack_most: int, most: int
) -> None:
    few, many, chosen = (totals_of(shims, stack_most, most, kept) for kept in (FewTotals, ManyTotals, None))

    for totals in (many, chosen):
        assert unpacked(totals, totals.every) == unpacked(few, few.every)
        for place in bits.members(totals.every):
            assert totals.stack(place) == few.stack(few.from_nm(totals.nm(place)))


@pytest.mark.parametrize("kept", KEPT)
@given(drawers(), st.integers(0, 30_000), st.integers(0, 30_000))
def test_between_holds_the_totals_from_one_thickness_to_another(
    kept: type[FewTotals | ManyTotals], shims: list[Shim], low: int, high: int
) -> None:
    totals = totals_of(shims, 4, 20_000, kept)

    assert unpacked(totals, totals.between(low, high)) == {
        nm for nm in best_stacks(shims, 4, 20_000) if low <= nm <= high
    }


@pytest.mark.parametrize("kept", KEPT)
@given(drawers(), st.integers(0, 12_500), st.randoms(use_true_random=False))
def test_below_is_one_step_away_at_most(
    kept: type[FewTotals | ManyTotals], shims: list[Shim], step: int, random: object
) -> None:
    totals = totals_of(shims, 3, 40_000, kept)
    all_nm = set(best_stacks(shims, 3, 40_000))
    places = [place for place in bits.members(totals.every) if random.random() < 0.4]
    members = {totals.nm(place) for place in places}
    some = sum(1 << place for place in places)

    assert unpacked(totals, totals.below(some, step)) == {
        nm for nm in all_nm if any(0 < m - nm <= step for m in members)
    }


@pytest.mark.parametrize("kept", KEPT)
@given(drawers(), st.integers(1, 30), st.integers(1, 4))
def test_one_more_shim_adds_the_stacks_with_it_and_no_others(
    kept: type[FewTotals | ManyTotals], shims: list[Shim], grains: int, stack_most: int
) -> None:
    totals = totals_of(shims, stack_most, 40_000, kept)
    size = grains * totals.grain
    expected = best_stacks([*shims, Shim(tag="new", thickness=Length(size))], stack_most, 40_000)

    more = totals.with_one_more(size)

    assert {nm: len(tags) for nm, tags in expected.items()} == {
        nm: count for count, places in enumerate(more.by_count) for nm in unpacked(more, places)
    }


def test_a_pair_asked_for_before_one_more_shim_stays_the_same_pair() -> None:
    # Coarse shims of 10 um first give pairs in tens of micrometres; a finer one then makes the drawer finer.
    shims = [Shim(tag=t, thickness=Length(nm)) for t, nm in (("a", 10_000), ("b", 30_000), ("c", 70_000))]
    totals = totals_of(shims, 3, 200_000, ManyTotals)
    pair = totals.stack(totals.from_nm(40_000))

    more = totals.with_one_more(1_000)

    assert [s.tag for s in pair] == ["a", "b"]
    assert unpacked(more, more.every) == set(
        best_stacks([*shims, Shim(tag="n", thickness=Length(1_000))], 3, 200_000)
    )
    assert [s.tag for s in totals.stack(totals.from_nm(100_000))] == ["b", "c"]


@pytest.mark.parametrize("kept", KEPT)
def test_a_shim_thicker_than_is_wanted_or_not_measured_is_left_out(
    kept: type[FewTotals | ManyTotals],
) -> None:
    shims = [
        Shim(tag="thick", thickness=Length(10_001)),
        Shim(tag="bare"),
        Shim(tag="just", thickness=Length(10_000)),
    ]

    totals = totals_of(shims, 4, 10_000, kept)

    assert [s.tag for s in totals.shims] == ["just"]
    assert unpacked(totals, totals.every) == {0, 10_000}


@pytest.mark.parametrize("kept", KEPT)
@pytest.mark.parametrize("most", [-5, 0, 1000])
def test_an_empty_drawer_makes_the_bare_slot(kept: type[FewTotals | ManyTotals], most: int) -> None:
    totals = totals_of([], 4, most, kept)

    assert unpacked(totals, totals.every) == {0}
    assert totals.stack(0) == ()


def test_inch_and_metric_shims_add_up_to_the_nanometre() -> None:
    shims = [Shim(tag="i", thickness=Length.inches("0.0625")), Shim(tag="m", thickness=Length.mm("0.5"))]
    totals = totals_of(shims, 4, 10_000_000)

    assert unpacked(totals, totals.every) == {0, 1_587_500, 500_000, 2_087_500}


def test_two_hundred_shims_are_kept_by_units_and_a_handful_by_their_totals() -> None:
    many = [Shim(tag=f"{i:03}", thickness=Length(1000 * (100 + i))) for i in range(200)]

    assert isinstance(totals_of(many, 4, 10_000_000), ManyTotals)
    assert isinstance(totals_of(many[:5], 4, 10_000_000), FewTotals)
