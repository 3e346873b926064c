"""What readings teach: what the next hub gets, which hubs must be read, a second push of a stack, the other plan."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest

from broachplan.errors import CribStateError
from broachplan.lengths import Length
from broachplan.runs.acts.acting import Acted
from broachplan.runs.acts.correcting import again
from broachplan.runs.acts.deciding import accepted, aside, scrapped
from broachplan.runs.acts.pushing import pushed
from broachplan.runs.acts.reading import not_read, read
from broachplan.runs.acts.stopping import resumed, stopped
from broachplan.runs.acts.trouble import gone
from broachplan.runs.counts import counts_of
from broachplan.runs.next import next_of
from broachplan.runs.offsets import learnt_offset
from broachplan.runs.state import Outcome, RunState, Status, Waits
from broachplan.runs.waiting import asked_after_a_break
from broachplan.sheets.run import Happened, happened_in_words, what_next
from tests.planner.setups import BASE, shim
from tests.runs.scenes import LOOSE, MM, RICH, at_pass, begun, hub_done, on_hand, then

HAND = on_hand()

# -- the next hub -----------------------------------------------------------------------------------------------


def test_the_next_hub_is_expected_with_the_offset_learnt() -> None:
    state = hub_done(begun(quantity=3), "0.012")

    due = next_of(state)

    assert due is not None
    assert (due.plain, due.expected, due.offset) == (MM("25.2"), MM("25.212"), MM("0.012"))
    assert [one.shims for one in due.ahead.passes] == [(), ("a",), ("a", "b"), ("c", "a", "b")]


def test_the_offset_is_the_mean_of_the_last_five_hubs_half_even() -> None:
    state = begun(quantity=8)
    deep = ["0.03", "0.001", "0.002", "0.003", "0.004", "0.005001"]
    for one in deep:
        state = hub_done(state, one)

    last_five = [Fraction(MM(one).nm) for one in deep[1:]]
    assert learnt_offset(state, "K", "G") == Length(round(sum(last_five) / 5))
    # 2 and 3 nm: 2.5 nm is rounded to the even one.
    two = hub_done(hub_done(begun(quantity=3), "0.000002"), "0.000003")
    assert learnt_offset(two, "K", "G") == Length(2)


def test_with_another_bushing_nothing_is_learnt() -> None:
    state = hub_done(begun(quantity=3), "0.012")

    assert learnt_offset(state, "K", "G2") == Length(0)
    assert learnt_offset(state, "K2", "G") == Length(0)


def test_a_second_reading_replaces_the_first_and_is_never_added_to_it() -> None:
    state = at_pass(3)
    state = then(state, read(state, HAND, [MM("27.21")]))

    state = then(state, read(state, HAND, [MM("27.215")], hub=1, books=False))

    due = next_of(state)
    assert due is not None
    assert due.offset == MM("0.015")


def test_stacks_that_do_not_hold_with_what_was_learnt_are_planned_anew_for_the_next_hubs() -> None:
    state = begun(LOOSE, quantity=3)
    state = then(state, pushed(state, on_hand(LOOSE), through=4))

    acted = read(state, on_hand(LOOSE), [MM("28.135")])

    assert acted.state.outcome(1) is Outcome.WITHIN
    assert acted.state.new_hubs.stacks[-1] == ("f", "a", "b")
    assert acted.other is not None
    assert acted.other.stacks[-1] == ("c", "a", "b")


@pytest.mark.parametrize("decide", [aside, scrapped, accepted])
def test_a_hub_past_its_limit_teaches_the_next_ones_as_soon_as_it_is_decided_on(
    decide: Callable[..., Acted],
) -> None:
    # 0.06 deep is 0.01 past: with the same shims the next hub would be past as well.
    state = begun(quantity=2)
    state = then(state, pushed(state, HAND, through=4))
    state = then(state, read(state, HAND, [MM("28.16")], sure=True))

    state = then(state, decide(state, HAND, 1, why="0.01 past", by="Kim"))

    due = next_of(state)
    assert due is not None
    assert due.ahead.passes[-1].done.reading <= state.run.keyway.reading.upper


def test_where_no_shims_help_the_next_hub_is_cut_as_planned_and_says_that_it_would_be_past() -> None:
    # One hub may have had a chip under its shims. No stack of these reads 28.05 to 28.15 mm with 0.06 mm on it.
    setup = BASE.but(shims=(*BASE.shims, shim("d", MM("0.05"))))
    few = on_hand(setup)
    state = begun(setup, quantity=2)
    state = then(state, pushed(state, few, through=4))
    state = then(state, read(state, few, [MM("28.16")], sure=True))

    state = then(state, aside(state, few, 1, why="0.01 past"))

    assert (state.status, state.waits) == (Status.RUNNING, Waits.PUSH)
    said = " ".join(what_next(state))
    assert (
        "CAUTION: as the hubs before read, the last pass would read 1.1087 in, and the limit is 1.1083 in"
        in said
    )


def test_the_next_hub_is_cut_as_the_last_one_was_where_that_holds() -> None:
    # On hub 1 the last stack was changed to f, a, b; hub 2 gets the same, not a plan of its own.
    state = at_pass(3, quantity=2)
    state = then(state, read(state, HAND, [MM("27.26")], sure=True))
    state = then(state, read(state, HAND, [MM("28.11")], books=True, sure=True))

    assert state.new_hubs.stacks == ((), ("a",), ("a", "b"), ("f", "a", "b"))


def test_a_new_hub_enters_by_the_plain_figures_or_by_deeper_ones_never_by_shallower() -> None:
    # With a web of 12.5 mm the first tooth is at 24.5 mm, which is first metal: it takes what the offset adds.
    setup = RICH.but(bushing={"web": MM("12.5")}, shims=(*RICH.shims, shim("g", MM("0.4"))))
    hand = on_hand(setup)
    for deep, bites in (("0.03", MM("0.03")), ("-0.03", Length(0))):
        state = begun(setup, quantity=2)
        passes = len(state.new_hubs.stacks)
        state = then(state, pushed(state, hand, through=passes))
        state = then(state, read(state, hand, [MM("28.1") + MM(deep)], sure=True))

        due = next_of(state)
        assert due is not None
        assert (due.load, due.first_bite) == (2, bites)


# -- hubs that must be read -------------------------------------------------------------------------------------


def test_a_reading_past_a_limit_makes_every_hub_since_the_last_good_one_to_be_read() -> None:
    state = hub_done(begun(quantity=5, read_each=5), "0.01")
    for _ in range(3):
        state = then(state, pushed(state, HAND, through=4))
    state = hub_done(state, "0.07")

    assert state.to_read == {2, 3, 4}
    assert counts_of(state).to_read == 3
    assert state.outcome(5) is Outcome.PAST

    # Once it must be read, a hub is free by its own reading and by no other.
    state = then(state, read(state, HAND, [MM("28.11")], hub=4))
    assert state.to_read == {2, 3}


def test_a_hub_that_nobody_read_is_not_measured_and_never_within() -> None:
    state = hub_done(begun(quantity=3), "0.01")
    state = then(state, pushed(state, HAND, through=4))

    assert state.outcome(2) is Outcome.NOT_MEASURED
    assert counts_of(state).not_measured == 1


def test_a_reading_that_is_due_may_be_left_out_and_is_then_not_measured() -> None:
    state = at_pass(4)
    state = then(state, not_read(state, by="Kim"))

    assert (state.waits, counts_of(state).not_measured) == (Waits.END, 1)
    with pytest.raises(
        CribStateError, match="no reading is due that can be left out; the run waits for its end"
    ):
        not_read(state)


# -- a second push ----------------------------------------------------------------------------------------------


def test_a_second_push_of_the_same_stack_is_next_where_it_read_short_of_plain() -> None:
    state = at_pass(3)
    state = then(state, read(state, HAND, [MM("27.19")]))

    state = then(state, again(state))

    due = next_of(state)
    assert due is not None
    assert (due.pass_number, due.shims, due.of) == (4, ("a", "b"), 5)


def test_a_second_push_that_is_next_already_is_not_asked_for_once_more() -> None:
    # A command repeated by mistake must not book a third push.
    state = at_pass(3)
    state = then(state, read(state, HAND, [MM("27.19")]))
    state = then(state, again(state))

    with pytest.raises(
        CribStateError,
        match="a second push of pass 3 of hub 1 is next already; the run waits for the second push of pass 3 of hub 1",
    ):
        again(state)
    assert asked_after_a_break(state) == "the second push of pass 3 of hub 1: pushed, part way, or not yet?"


def test_a_second_push_is_still_next_after_the_run_was_stopped() -> None:
    state = at_pass(3)
    state = then(state, read(state, HAND, [MM("27.19")]))
    state = then(state, again(state))
    state = then(state, stopped(state, why="lunch"))

    state = then(state, resumed(state, HAND))

    assert state.load(1).to_do.stacks == (("a", "b"), ("c", "a", "b"))


def test_a_second_push_takes_what_the_first_left_and_may_read_from_that_to_plain() -> None:
    state = at_pass(3)
    state = then(state, read(state, HAND, [MM("27.14")], sure=True))
    state = then(state, again(state))

    due = next_of(state)
    assert due is not None
    assert (due.expected, due.first_bite) == (MM("27.14"), MM("0.06"))
    assert due.low < MM("27.14")
    assert due.high == MM("27.2")
    acted = read(state, HAND, [MM("27.2")], books=True)
    assert not acted.steps[-1].doubtful
    assert acted.state.status is Status.RUNNING


def test_another_plan_is_offered_with_the_command_that_takes_it_and_only_where_one_does() -> None:
    def offered(state: RunState) -> list[str]:
        lines = happened_in_words(state, "R7-AAAA", Happened(state.steps[-1:], state.new_hubs))
        return [line.rpartition("; ")[2] for line in lines if line.startswith("another plan")]

    state = at_pass(3)
    # What waits for a reading is neither resumed nor planned again; the reading offers the plan anew.
    assert offered(state) == []
    state = then(state, read(state, HAND, [MM("27.19")]))
    assert offered(state) == ["`broachplan run replan` takes it"]
    state = then(state, gone(state, HAND, "c"))
    assert offered(state) == []


def test_a_second_push_that_would_find_no_metal_is_refused() -> None:
    state = at_pass(3)
    with pytest.raises(
        CribStateError, match="pass 3 of hub 1 is not read yet; the run waits for the reading"
    ):
        again(state)
    state = then(state, read(state, HAND, [MM("27.2")]))

    with pytest.raises(CribStateError, match="a second push of pass 3 of hub 1 would find no metal"):
        again(state)
