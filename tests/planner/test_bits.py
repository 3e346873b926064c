"""Sets of whole numbers as bits, against Python's own sets."""

from __future__ import annotations

from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from broachplan.planner import bits

sets = st.sets(st.integers(0, 60)) | st.sets(st.integers(0, 20_000), max_size=12)
steps = st.integers(-2, 70)


def packed(members: set[int]) -> int:
    return sum(1 << member for member in members)


def unpacked(packed_set: int) -> set[int]:
    return {i for i, bit in enumerate(reversed(bin(packed_set)[2:])) if bit == "1"}


@given(sets)
def test_the_members_come_smallest_first(members: set[int]) -> None:
    assert list(bits.members(packed(members))) == sorted(members)


@given(sets)
def test_highest_and_lowest_are_the_ends_and_minus_one_of_nothing(members: set[int]) -> None:
    assert bits.highest(packed(members)) == max(members, default=-1)
    assert bits.lowest(packed(members)) == min(members, default=-1)


@given(sets, st.integers(-3, 70))
def test_only_members_are_had(members: set[int], asked: int) -> None:
    assert bits.has(packed(members), asked) is (asked in members)


@given(st.integers(-9, 90), st.integers(-9, 90))
def test_a_range_holds_both_its_ends_and_is_cut_off_at_zero(low: int, high: int) -> None:
    assert unpacked(bits.between(low, high)) == {i for i in range(low, high + 1) if i >= 0}
    assert unpacked(bits.up_to(high)) == set(range(high + 1))


@hypothesis_settings(deadline=None)
@given(sets, steps)
def test_below_is_all_from_which_a_step_leads_up_to_a_member(members: set[int], most: int) -> None:
    expected = {m - step for m in members for step in range(1, most + 1) if m >= step}

    assert unpacked(bits.below(packed(members), most)) == expected
