"""Trouble at the press: a shim is missing, a broach broke; hubs set aside, scrapped, accepted."""

from __future__ import annotations

from dataclasses import replace

import pytest

from broachplan.errors import CribStateError, InputError
from broachplan.runs.acts.deciding import accepted, aside, scrapped
from broachplan.runs.acts.pushing import pushed
from broachplan.runs.acts.reading import read
from broachplan.runs.acts.stopping import abandoned, ended, resumed
from broachplan.runs.acts.trouble import broken, gone
from broachplan.runs.ahead import start_with_others
from broachplan.runs.counts import counts_of
from broachplan.runs.next import next_of
from broachplan.runs.state import RunState, Status, Waits
from broachplan.runs.waiting import waits_for
from tests.runs.scenes import MM, RICH, begun, on_hand, then

HAND = on_hand()
SECOND = RICH.but(
    more=(replace(RICH.broach, tag="K2", first_tooth_height=MM("11.9"), last_tooth_height=MM("13.1")),)
)


def past(quantity: int = 2) -> RunState:
    """A run whose first hub reads past its limit."""
    state = begun(quantity=quantity)
    state = then(state, pushed(state, HAND, through=4))
    return then(state, read(state, HAND, [MM("28.17")], sure=True))


# -- a shim -----------------------------------------------------------------------------------------------------


def test_without_a_shim_that_is_missing_the_rest_is_planned_on_those_that_are_there() -> None:
    state = begun()
    state = then(state, pushed(state, HAND, through=3))
    state = then(state, read(state, HAND, [MM("27.2")]))

    state = then(state, gone(state, HAND, "c", by="Kim"))

    assert (state.status, state.why) == (Status.STOPPED, "shim gone")
    assert "c" not in state.load(1).to_do.stacks[0]
    state = then(state, resumed(state, HAND))
    due = next_of(state)
    assert due is not None
    assert "c" not in due.shims
    assert MM("28.05") <= due.expected <= MM("28.15")


def test_a_shim_that_no_pass_to_come_needs_stops_the_run_and_changes_no_plan() -> None:
    state = begun()
    state = then(state, pushed(state, HAND, shims=("f",)))
    kept = state.load(1).to_do

    state = then(state, gone(state, HAND, "f"))

    assert state.load(1).to_do == kept
    assert state.why == "shim gone"


def test_where_no_shims_on_hand_lead_on_the_run_is_blocked_until_there_are() -> None:
    few = RICH.but(shims=RICH.shims[:3])
    state = begun(few)
    state = then(state, gone(state, on_hand(few), "c"))

    acted = resumed(state, on_hand(few))
    assert (acted.state.why, acted.is_no) == ("blocked", True)
    assert waits_for(acted.state) == "a decision on hub 1: no shims on hand lead to the limits"

    going = then(acted.state, resumed(acted.state, HAND))
    assert going.status is Status.RUNNING


def test_a_shim_that_is_none_of_the_run_cannot_be_missing_from_it() -> None:
    with pytest.raises(InputError, match="shim: read “f”; the run has: a, b, c"):
        gone(begun(), HAND, "f")
    state = begun()
    state = then(state, gone(state, HAND, "a"))
    with pytest.raises(InputError, match="shim: read “a”; the run has: b, c"):
        gone(state, HAND, "a")


# -- a broach ---------------------------------------------------------------------------------------------------


def test_where_a_broach_broke_another_pair_goes_on_from_the_metal_as_it_is_with_no_offset() -> None:
    hand = on_hand(SECOND)
    state = begun(SECOND, quantity=2)
    mine = state.new_hubs.broach
    other = {"K": "K2", "K2": "K"}[mine]
    state = then(state, pushed(state, hand, through=3))
    read_at = state.plain_of(state.load(1).passes[-1]) + MM("0.02")
    state = then(state, read(state, hand, [read_at]))

    acted = broken(state, hand, mine, by="Kim")
    assert (acted.state.status, acted.state.why) == (Status.STOPPED, "broach broken")
    assert acted.other is not None
    assert acted.other.broach == other

    going = then(acted.state, resumed(acted.state, hand, by="Ann"))

    due = next_of(going)
    assert due is not None
    assert (due.ahead.plan.broach.tag, due.offset.nm, due.pass_number) == (other, 0, 4)
    assert due.expected == due.plain
    # The first bite is taken from the metal that was read.
    reach = due.plain - going.broach(other).last_tooth_height + going.broach(other).first_tooth_height  # type: ignore[operator]
    assert due.first_bite.nm == max(0, (reach - read_at).nm)
    assert going.new_hubs.broach == other
    assert other in going.held
    assert mine not in going.held


def test_another_pair_starts_from_the_shallower_end_which_is_the_more_to_cut() -> None:
    hand = on_hand(SECOND)
    state = begun(SECOND)
    mine = state.new_hubs.broach
    state = then(state, pushed(state, hand, through=3))
    plain = state.plain_of(state.load(1).passes[-1])
    state = then(state, read(state, hand, [plain, plain + MM("0.02")]))
    state = then(state, broken(state, hand, mine))

    assert start_with_others(state, state.load(1)).surface_nm == plain.nm


def test_a_broach_that_broke_before_the_first_push_leaves_the_whole_hub_to_another_one() -> None:
    hand = on_hand(SECOND)
    state = begun(SECOND, quantity=2)
    mine = state.new_hubs.broach

    acted = broken(state, hand, mine)
    going = then(acted.state, resumed(acted.state, hand))

    due = next_of(going)
    assert due is not None
    assert (due.pass_number, due.ahead.plan.broach.tag) == (1, {"K": "K2", "K2": "K"}[mine])


def test_where_no_other_broach_serves_the_run_is_blocked() -> None:
    state = begun()
    acted = broken(state, HAND, "K")
    assert acted.other is None

    again = resumed(acted.state, HAND)

    assert (again.state.why, again.is_no) == ("blocked", True)
    assert waits_for(again.state) == "a decision on hub 1: no other broach on hand can continue"


def test_only_a_broach_of_the_run_can_break_in_it() -> None:
    with pytest.raises(InputError, match="broach: read “a”; the run has: K"):
        broken(begun(), HAND, "a")


# -- hubs -------------------------------------------------------------------------------------------------------


def test_a_hub_past_its_limit_is_set_aside_and_the_run_continues_with_the_next() -> None:
    state = past()
    assert waits_for(state) == "a decision on hub 1, past the limit: set it aside, scrap it or accept it"

    state = then(state, aside(state, HAND, 1, why="0.02 deep"))

    due = next_of(state)
    assert due is not None
    assert (state.status, due.load, due.pass_number) == (Status.RUNNING, 2, 1)
    counts = counts_of(state)
    assert (counts.asked, counts.aside, counts.left, counts.done) == (2, 1, 2, 0)


def test_what_was_set_aside_is_scrapped_or_accepted_later_also_when_the_run_is_done() -> None:
    state = past(quantity=1)
    state = then(state, aside(state, HAND, 1, why="0.02 deep"))
    state = then(state, ended(state))

    kept = then(state, accepted(state, HAND, 1, why="the key fits", by="Jo"))
    lost = then(state, scrapped(state, HAND, 1, why="too deep"))

    assert (kept.status, counts_of(kept).accepted, counts_of(kept).left) == (Status.DONE, 1, 0)
    assert (lost.status, counts_of(lost).scrapped, counts_of(lost).left) == (Status.DONE, 1, 0)


def test_a_hub_is_decided_on_with_a_reason_and_accepted_with_a_name() -> None:
    state = past()

    for act in (aside, scrapped):
        with pytest.raises(InputError, match="why: write why the hub is"):
            act(state, HAND, 1, why=" ")
    with pytest.raises(InputError, match="by: write who accepts the hub"):
        accepted(state, HAND, 1, why="the key fits", by="")
    with pytest.raises(InputError, match="hub: read 3; the run has hubs 1 to 2"):
        aside(state, HAND, 3, why="deep")


def test_a_hub_is_decided_on_once() -> None:
    state = past()
    state = then(state, scrapped(state, HAND, 1, why="too deep"))

    with pytest.raises(CribStateError, match="hub 1 is scrapped already; the run waits for pass 1 of hub 2"):
        accepted(state, HAND, 1, why="the key fits", by="Jo")
    aside_2 = then(state, aside(state, HAND, 2, why="dropped"))
    with pytest.raises(CribStateError, match="hub 2 is set aside already; the run waits for its end"):
        aside(aside_2, HAND, 2, why="dropped")


def test_a_hub_that_is_not_cut_or_reads_well_is_not_accepted() -> None:
    state = begun(quantity=2)
    state = then(state, pushed(state, HAND, through=4))
    state = then(state, read(state, HAND, [MM("28.1")]))

    with pytest.raises(
        CribStateError, match="hub 2 is not cut, so it cannot be accepted; the run waits for pass 1"
    ):
        accepted(state, HAND, 2, why="the key fits", by="Jo")
    with pytest.raises(CribStateError, match="hub 1 reads within its limits, so nothing is to be accepted"):
        accepted(state, HAND, 1, why="the key fits", by="Jo")


def test_a_hub_of_an_abandoned_run_is_not_decided_on_any_more() -> None:
    state = past()
    state = then(state, abandoned(state, why="no more hubs"))

    with pytest.raises(CribStateError, match="hub 1 cannot be scrapped; it is abandoned"):
        scrapped(state, HAND, 1, why="too deep")


def test_what_was_cut_together_with_a_hub_past_its_limit_is_gauged_before_anything_else() -> None:
    stacked = RICH.but(hub={"stack": 3})
    hand = on_hand(stacked)
    state = begun(stacked, quantity=3)
    state = then(state, pushed(state, hand, through=4))
    assert state.to_gauge == (1, (1, 3))
    state = then(state, read(state, hand, [MM("28.17")], hub=1, sure=True))

    state = then(state, aside(state, hand, 1, why="deep"))

    assert (state.waits, state.to_gauge) == (Waits.READING, (1, (2, 3)))


def test_a_hub_that_reads_well_before_its_last_pass_is_done_once_the_deep_one_beside_it_is_set_aside() -> (
    None
):
    stacked = RICH.but(
        hub={"stack": 2}, keyway={"reading": type(RICH.keyway.reading)(MM("28.1"), MM("27.0"), MM("28.15"))}
    )
    hand = on_hand(stacked)
    state = begun(stacked, quantity=2)
    passes = len(state.new_hubs.stacks)
    state = then(state, pushed(state, hand, through=passes - 1))
    assert state.load(1).to_do.stacks
    state = then(state, read(state, hand, [MM("28.2")], hub=1, sure=True))
    state = then(state, read(state, hand, [MM("27.1")], hub=2, sure=True))

    state = then(state, aside(state, hand, 1, why="deep"))

    assert (state.load(1).to_do.stacks, state.waits) == ((), Waits.END)


def test_with_fewer_hubs_stacked_the_rest_is_checked_with_the_shorter_cut() -> None:
    # Two hubs of 10 mm keep two teeth of 8 mm pitch in the cut; one alone does not.
    short = RICH.but(hub={"stack": 2, "length": MM(10)})
    hand = on_hand(short)
    state = begun(short, quantity=2)
    state = then(state, pushed(state, hand))

    acted = aside(state, hand, 1, why="cracked")

    assert (acted.state.why, acted.is_no) == ("blocked", True)
