"""Things picked up in either order of cutting, against hands that do it and count."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from broachplan.runs.picked_up import PickedUp, picked_up, shims_moved
from broachplan.runs.run import Order

STACKS = st.lists(
    st.frozensets(st.sampled_from("abcde"), max_size=4).map(sorted).map(tuple), min_size=1, max_size=4
)


class Hands:
    """What lies where, and how often something was picked up to get there."""

    def __init__(self) -> None:
        self.count = 0
        self.in_slot: set[str] = set()

    def shims(self, wanted: set[str]) -> None:
        for _ in self.in_slot - wanted:
            self.count += 1
        for _ in wanted - self.in_slot:
            self.count += 1
        self.in_slot = set(wanted)

    def one_load(self, hubs: int, stacks: list[tuple[str, ...]]) -> None:
        """Hubs on, bushing in, for each pass its shims and the broach, bushing out, hubs off."""
        self.count += hubs
        self.count += 1
        for stack in stacks:
            self.shims(set(stack))
            self.count += 1
        self.count += 1
        self.count += hubs


def each_load_whole(hubs: int, loads: int, stacks: list[tuple[str, ...]]) -> int:
    hands = Hands()
    for _ in range(loads):
        hands.one_load(hubs // loads, stacks)
        hands.shims(set())
    return hands.count


def all_through_each_pass(hubs: int, loads: int, stacks: list[tuple[str, ...]]) -> int:
    hands = Hands()
    for stack in stacks:
        for _ in range(loads):
            hands.one_load(hubs // loads, [stack])
    hands.shims(set())
    return hands.count


@given(st.integers(1, 6), st.integers(1, 4), STACKS)
def test_the_things_picked_up_are_those_that_hands_pick_up(
    loads: int, stacked: int, stacks: list[tuple[str, ...]]
) -> None:
    hubs = loads * stacked

    found = picked_up(hubs, loads, stacks)

    assert found.loads == each_load_whole(hubs, loads, stacks)
    assert found.passes == all_through_each_pass(hubs, loads, stacks)


def test_a_shim_that_stays_in_is_not_picked_up() -> None:
    # In: a; then b; then c behind them. Out: all three.
    assert shims_moved([(), ("a",), ("a", "b"), ("a", "b", "c")]) == 6
    assert shims_moved([("a",), ("b",)]) == 4
    assert shims_moved([()]) == 0


def test_the_order_with_fewer_things_is_proposed_and_each_load_whole_where_they_are_equal() -> None:
    assert PickedUp(loads=10, passes=11).proposed is Order.LOADS
    assert PickedUp(loads=11, passes=10).proposed is Order.PASSES
    assert PickedUp(loads=10, passes=10).proposed is Order.LOADS
    # One pass: the same hubs and bushings either way, and one change of shims instead of one for each load.
    assert picked_up(4, 4, [("a",)]).proposed is Order.PASSES
    # One load is the same in fewer moves when it stays under the ram.
    assert picked_up(1, 1, [(), ("a",)]).proposed is Order.LOADS
