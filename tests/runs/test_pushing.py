"""A push: what was really in, all passes at once, stopped part way, never made."""

from __future__ import annotations

import pytest

from broachplan.errors import CribStateError, InputError
from broachplan.runs.acts.pushing import not_pushed, pushed
from broachplan.runs.acts.reading import read
from broachplan.runs.acts.stopping import resumed
from broachplan.runs.next import next_of
from broachplan.runs.run import Order
from broachplan.runs.state import Cause, Phase, RunState, Waits
from broachplan.runs.steps import RunAct, cuts_of
from broachplan.runs.waiting import asked_after_a_break, waits_for
from tests.runs.scenes import MM, RICH, begun, on_hand, then

HAND = on_hand()


def cuts(state: RunState) -> int:
    """All cuts that the steps book."""
    return sum(cuts_of(step, state.steps)[1] for step in state.steps)


def test_a_push_keeps_what_was_in_what_it_should_read_and_the_broach() -> None:
    state = begun()
    state = then(state, pushed(state, HAND))

    (step,) = pushed(state, HAND, by="Kim").steps

    assert (step.act, step.load, step.hubs, step.pass_number) == (RunAct.PUSHED, 1, (1,), 2)
    assert (step.shims, step.plain, step.expected, step.piece, step.by) == (
        ("a",),
        MM("26.2"),
        MM("26.2"),
        "K",
        "Kim",
    )
    assert step.low is not None
    assert step.high is not None
    assert step.low < MM("26.2") < step.high


def test_what_was_really_in_is_kept_where_it_is_not_what_was_planned_and_the_hub_is_gauged() -> None:
    state = begun()
    state = then(state, pushed(state, HAND))

    acted = pushed(state, HAND, shims=("f",))

    assert acted.steps[0].plain == MM("26.05")
    assert [piece.tag for piece in acted.steps[0].pieces] == ["f"]
    assert (acted.state.waits, acted.state.to_gauge) == (Waits.READING, (1, (1,)))


def test_shims_in_another_order_are_the_same_stack() -> None:
    state = begun()
    state = then(state, pushed(state, HAND, through=2))

    assert pushed(state, HAND, shims=("b", "a")).steps[0].shims == ("a", "b")


@pytest.mark.parametrize(("shims", "read_as"), [(("x",), "x"), (("K",), "K"), (("a", "a"), "a,a")])
def test_only_shims_that_are_here_were_in_each_once(shims: tuple[str, ...], read_as: str) -> None:
    with pytest.raises(InputError, match=f"shims: read “{read_as}”"):
        pushed(begun(), HAND, shims=shims)


def test_all_passes_up_to_one_are_booked_a_step_each() -> None:
    state = begun()

    acted = pushed(state, HAND, through=3)

    assert [(step.step, step.pass_number) for step in acted.steps] == [(2, 1), (3, 2), (4, 3)]
    again = then(acted.state, pushed(acted.state, HAND, through=4))
    assert [push.number for push in again.load(1).passes] == [1, 2, 3, 4]


def test_a_pass_that_is_booked_is_not_booked_once_more() -> None:
    state = begun()
    state = then(state, pushed(state, HAND, through=2))

    with pytest.raises(
        CribStateError, match="pass 2 of hub 1 is booked already; the run waits for pass 3 of hub 1"
    ):
        pushed(state, HAND, through=2)
    with pytest.raises(InputError, match="through: read 5; hub 1 has 4 passes"):
        pushed(state, HAND, through=5)
    with pytest.raises(InputError, match="through: write it alone"):
        pushed(state, HAND, through=3, part_way=True)


def test_a_push_while_a_reading_is_due_is_refused() -> None:
    state = begun()
    state = then(state, pushed(state, HAND, through=3))

    with pytest.raises(
        CribStateError, match="no push is due; the run waits for the reading of pass 3 of hub 1"
    ):
        pushed(state, HAND)


def test_a_push_that_stopped_part_way_stops_the_run_counts_as_a_cut_and_is_made_again() -> None:
    state = begun()

    stuck = then(state, pushed(state, HAND, part_way=True))

    assert (stuck.why, stuck.causes, cuts(stuck)) == ("part way", (Cause.PART_WAY,), 1)
    going = then(stuck, resumed(stuck, HAND))
    due = next_of(going)
    assert due is not None
    assert due.pass_number == 1
    assert cuts(then(going, pushed(going, HAND))) == 2


def test_a_push_cuts_every_hub_of_its_load_once() -> None:
    stacked = RICH.but(hub={"stack": 2})
    state = begun(stacked, quantity=4)
    for _ in range(2):
        load = state.current
        assert load is not None
        state = then(state, pushed(state, on_hand(stacked), through=4))
        plain = MM("28.1")
        while state.waits is Waits.READING:
            state = then(state, read(state, on_hand(stacked), [plain]))

    assert cuts(state) == 4 * 4
    assert {cuts_of(step, state.steps)[0] for step in state.steps} == {"K", ""}


def test_a_push_that_was_booked_and_never_made_is_taken_back_with_its_cut() -> None:
    state = begun()
    state = then(state, pushed(state, HAND, through=3))

    state = then(state, not_pushed(state, takes_back=4, why="two passes, not three"))

    due = next_of(state)
    assert due is not None
    assert (due.pass_number, due.shims, cuts(state)) == (3, ("a", "b"), 2)
    state = then(state, pushed(state, HAND))
    assert cuts(state) == 3


def test_only_the_push_made_last_is_taken_back_and_only_until_it_is_read() -> None:
    state = begun()
    state = then(state, pushed(state, HAND, through=3))
    with pytest.raises(CribStateError, match="step 3 is not a push that can be taken back"):
        not_pushed(state, takes_back=3)

    state = then(state, read(state, HAND, [MM("27.2")]))
    with pytest.raises(CribStateError, match="step 4 is not a push that can be taken back"):
        not_pushed(state, takes_back=4)


def test_after_a_break_the_push_that_is_due_is_asked_about() -> None:
    state = begun(quantity=3)
    state = then(state, pushed(state, HAND, through=4))
    state = then(state, read(state, HAND, [MM("28.1")]))
    state = then(state, pushed(state, HAND))

    assert asked_after_a_break(state) == "pass 2 of hub 2: pushed, part way, or not yet?"
    same = then(state, not_pushed(state, by="Kim"))
    assert asked_after_a_break(same) == asked_after_a_break(state)
    assert cuts(same) == cuts(state)


def test_where_no_push_is_due_nothing_is_asked_after_a_break() -> None:
    state = begun()
    state = then(state, pushed(state, HAND, through=4))

    assert asked_after_a_break(state) == ""
    with pytest.raises(
        CribStateError, match="no push is due; the run waits for the reading of pass 4 of hub 1"
    ):
        not_pushed(state)


def test_loads_pass_from_waiting_by_set_up_pushed_and_read_to_done() -> None:
    state = begun(quantity=2)
    assert [state.phase(state.load(number)) for number in (1, 2)] == [Phase.SET_UP, Phase.WAITING]

    state = then(state, pushed(state, HAND))
    assert state.phase(state.load(1)) is Phase.NOT_READ
    state = then(state, pushed(state, HAND, through=3))
    assert state.phase(state.load(1)) is Phase.PUSHED
    state = then(state, read(state, HAND, [MM("27.2")]))
    assert state.phase(state.load(1)) is Phase.READ
    state = then(state, read(state, HAND, [MM("28.1")], books=True))
    assert [state.phase(state.load(number)) for number in (1, 2)] == [Phase.DONE, Phase.SET_UP]


def test_what_stays_in_between_two_passes_and_what_is_added() -> None:
    state = begun(quantity=2)
    moved = []
    while (load := state.current) and load.number == 1:
        due = next_of(state)
        if due is None:
            state = then(state, read(state, HAND, [state.plain_of(load.passes[-1])]))
            continue
        change = due.change
        moved.append(
            tuple(
                "".join(shim.tag for shim in part) for part in (change.stays, change.added, change.taken_out)
            )
        )
        state = then(state, pushed(state, HAND))
        if state.waits is Waits.READING:
            state = then(state, read(state, HAND, [state.plain_of(state.load(1).passes[-1])]))

    assert moved == [("", "", ""), ("", "a", ""), ("a", "b", ""), ("ab", "c", "")]
    # The slot is emptied before the next hub where each is cut whole.
    due = next_of(state)
    assert due is not None
    assert due.change.taken_out == ()


def test_shims_stay_in_the_bushing_where_all_hubs_go_through_a_pass_in_turn() -> None:
    state = begun(quantity=2, order=Order.PASSES)
    state = then(state, pushed(state, HAND))
    state = then(state, pushed(state, HAND))
    state = then(state, pushed(state, HAND))

    due = next_of(state)
    assert due is not None
    assert (due.load, due.pass_number) == (2, 2)
    assert [shim.tag for shim in due.change.stays] == ["a"]
    assert due.change.added == ()


def test_a_run_says_in_one_phrase_what_it_waits_for() -> None:
    state = begun(RICH.but(hub={"stack": 3}), quantity=3)

    assert waits_for(state) == "pass 1 of hubs 1 to 3"
