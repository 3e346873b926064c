"""Which hubs are gauged when, unless somebody asks for more."""

from __future__ import annotations

import pytest

from broachplan.errors import CribStateError, InputError
from broachplan.runs.acts.deciding import accepted, aside
from broachplan.runs.acts.pushing import pushed
from broachplan.runs.acts.reading import gauging, not_read, read
from broachplan.runs.acts.stopping import parked, resumed
from broachplan.runs.next import next_of
from broachplan.runs.run import Order
from broachplan.runs.state import RunState, Waits
from tests.runs.scenes import MM, RICH, begun, on_hand, then

HAND = on_hand()


def gauged(state: RunState) -> dict[tuple[int, int], tuple[int, ...]]:
    """Which hubs each push asked for, by load and pass."""
    return {
        (load.number, push.number): push.gauge
        for load in state.begun.values()
        for push in load.passes
        if push.gauge
    }


def cut(state: RunState) -> RunState:
    """The load that is due, cut whole; what is asked for is read as it should be."""
    load = state.current
    assert load is not None
    for _ in load.to_do.stacks:
        state = then(state, pushed(state, HAND))
        while state.waits is Waits.READING:
            number, _ = state.to_gauge
            state = then(state, read(state, HAND, [state.plain_of(state.load(number).passes[-1])]))
    return state


def test_the_first_hub_is_gauged_after_the_pass_before_the_last_and_after_the_last() -> None:
    state = cut(cut(begun(quantity=3)))

    assert gauged(state) == {(1, 3): (1,), (1, 4): (1,)}


def test_later_hubs_are_gauged_after_their_last_pass_as_asked() -> None:
    state = begun(quantity=4, read_each=2)
    for _ in range(4):
        state = cut(state)

    assert gauged(state) == {(1, 3): (1,), (1, 4): (1,), (2, 4): (2,), (4, 4): (4,)}


def test_how_often_hubs_are_gauged_is_changed_on_the_way_and_what_is_through_stays() -> None:
    state = cut(cut(begun(quantity=6, read_each=6)))
    state = then(state, gauging(state, "every"))
    state = cut(state)
    # A further step must not move what the pushes before it asked for.
    state = then(state, gauging(state, "4"))
    for _ in range(3):
        state = cut(state)

    assert gauged(state) == {(1, 3): (1,), (1, 4): (1,), (3, 4): (3,), (4, 4): (4,), (6, 4): (6,)}
    assert state.run.read_each == 6


@pytest.mark.parametrize("each", ["", "0", "often", "2.5"])
def test_how_often_is_every_or_a_whole_number(each: str) -> None:
    with pytest.raises(InputError, match="every, or"):
        gauging(begun(quantity=3), each)


def test_what_is_gauged_as_often_already_is_not_changed_twice() -> None:
    state = begun(quantity=3)
    state = then(state, gauging(state, "every"))

    with pytest.raises(CribStateError, match="run 7: every hub is gauged already; the run waits for pass 1"):
        gauging(state, "1")


def test_what_is_next_says_who_is_to_be_gauged_after_it() -> None:
    state = begun()
    asked = []
    for _ in range(4):
        due = next_of(state)
        assert due is not None
        asked.append((due.pass_number, due.gauge, due.can_gauge))
        state = then(state, pushed(state, HAND))
        if state.waits is Waits.READING:
            state = then(state, not_read(state))

    assert asked == [(1, (), True), (2, (), True), (3, (1,), True), (4, (1,), True)]


def test_a_pass_that_does_not_reach_past_the_bore_is_not_gauged() -> None:
    # The bore may be 25.25 mm, and pass 1 reads 25.2 mm: the gauge would find the bore's own wall.
    wide = RICH.but(hub={"bore": type(RICH.hub.bore)(MM(25), MM(25), MM("25.25"))})
    due = next_of(begun(wide))

    assert due is not None
    assert not due.can_gauge


def test_the_first_hub_after_the_tools_were_in_the_crib_is_gauged() -> None:
    state = cut(cut(begun(quantity=5)))
    state = then(state, parked(state))
    state = then(state, resumed(state, HAND))
    state = cut(cut(state))

    assert gauged(state) == {(1, 3): (1,), (1, 4): (1,), (3, 4): (3,)}


def test_where_the_first_hub_was_given_up_the_next_one_is_gauged_in_its_place() -> None:
    state = begun(quantity=3)
    state = then(state, pushed(state, HAND))
    state = then(state, aside(state, HAND, 1, why="the broach leaned"))
    state = cut(cut(state))

    assert gauged(state) == {(2, 3): (2,), (2, 4): (2,), (3, 4): (3,)}


def test_a_first_hub_that_was_accepted_unread_taught_nothing_either() -> None:
    state = begun(quantity=3)
    state = then(state, pushed(state, HAND, through=4))
    state = then(state, accepted(state, HAND, 1, why="the key fits", by="Jo"))

    assert gauged(cut(state))[2, 3] == (2,)


def test_of_hubs_stacked_in_a_load_the_first_is_gauged_and_those_asked_for() -> None:
    stacked = RICH.but(hub={"stack": 2})
    state = cut(cut(begun(stacked, quantity=4, read_each=4)))
    every = cut(begun(stacked, quantity=4, read_each=1))

    assert gauged(state) == {(1, 3): (1,), (1, 4): (1,), (2, 4): (4,)}
    assert gauged(every) == {(1, 3): (1,), (1, 4): (1, 2)}


def test_all_loads_go_through_a_pass_in_turn_where_that_order_was_chosen() -> None:
    state = begun(quantity=2, order=Order.PASSES)
    places = []
    while state.waits is not Waits.END:
        due = next_of(state)
        if due is None:
            state = then(state, not_read(state))
            continue
        places.append((due.pass_number, due.load))
        state = then(state, pushed(state, HAND))

    assert places == [(1, 1), (1, 2), (2, 1), (2, 2), (3, 1), (3, 2), (4, 1), (4, 2)]
    assert gauged(state) == {(1, 3): (1,), (1, 4): (1,), (2, 4): (2,)}
