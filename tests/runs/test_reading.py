"""What a reading does to a run: which pass it is of, what it means, what is planned after it, what the next hub gets."""

from __future__ import annotations

import pytest

from broachplan.errors import CribStateError, InputError
from broachplan.runs.acts.correcting import other_plan, replanned
from broachplan.runs.acts.deciding import aside
from broachplan.runs.acts.pushing import pushed
from broachplan.runs.acts.reading import Gauge, not_read, read
from broachplan.runs.fold import state_of
from broachplan.runs.next import next_of
from broachplan.runs.run import Order
from broachplan.runs.state import Cause, Outcome, Status, Waits
from broachplan.runs.steps import End, RunAct
from tests.planner.setups import shim
from tests.runs.scenes import LOOSE, MM, RICH, at_pass, begun, hub_done, on_hand, then

HAND = on_hand()

# -- which pass it is of ----------------------------------------------------------------------------------------


def test_a_reading_is_of_the_pass_that_waits_for_it() -> None:
    state = at_pass(3)
    assert (state.waits, state.to_gauge) == (Waits.READING, (1, (1,)))

    (step,) = read(
        state, HAND, [MM("27.21")], gauge=Gauge("inside", "bore gauge 3", ("27.21 mm",)), by="Kim"
    ).steps

    assert (step.act, step.load, step.pass_number, step.hub, step.end) == (RunAct.READ, 1, 3, 1, None)
    assert (step.t, step.plain, step.expected) == (MM("27.21"), MM("27.2"), MM("27.2"))
    assert (step.way, step.typed, step.with_what, step.by) == ("inside", "27.21 mm", "bore gauge 3", "Kim")


def test_a_reading_that_comes_first_books_its_push() -> None:
    state = at_pass(2)

    acted = read(state, HAND, [MM("27.21")], books=True)

    assert [(step.act, step.pass_number) for step in acted.steps] == [(RunAct.PUSHED, 3), (RunAct.READ, 3)]


def test_a_reading_taken_again_before_the_next_push_replaces_the_one_before_and_books_nothing() -> None:
    state = at_pass(3)
    state = then(state, read(state, HAND, [MM("27.21")]))

    acted = read(state, HAND, [MM("27.22")])

    assert [(step.act, step.load, step.hub, step.pass_number) for step in acted.steps] == [
        (RunAct.READ, 1, 1, 3)
    ]
    due = next_of(acted.state)
    assert due is not None
    assert due.offset == MM("0.02")


def test_a_reading_typed_twice_behind_the_last_pass_cuts_no_hub_on_paper() -> None:
    state = hub_done(begun(quantity=3), "0.01")

    acted = read(state, HAND, [MM("28.11")])

    assert [(step.act, step.load, step.pass_number) for step in acted.steps] == [(RunAct.READ, 1, 4)]
    assert not acted.state.load(2).passes


def test_nothing_is_read_before_the_first_push() -> None:
    with pytest.raises(CribStateError, match="nothing is to be read"):
        read(begun(), HAND, [MM("25.21")])
    with pytest.raises(CribStateError, match="hub 1 is not cut yet"):
        read(begun(), HAND, [MM("25.21")], hub=1)


def test_from_the_second_hub_on_a_reading_is_of_the_last_pass_and_books_the_hub_whole() -> None:
    state = hub_done(begun(quantity=3), "0.01")

    acted = read(state, HAND, [MM("28.11")], books=True)

    assert [(step.act, step.load, step.pass_number) for step in acted.steps] == [
        *((RunAct.PUSHED, 2, number) for number in (1, 2, 3, 4)),
        (RunAct.READ, 2, 4),
    ]
    assert acted.state.outcome(2) is Outcome.WITHIN


def test_where_all_hubs_go_through_a_pass_in_turn_a_reading_books_that_pass_alone() -> None:
    state = begun(quantity=2, order=Order.PASSES)
    state = then(state, pushed(state, HAND))

    acted = read(state, HAND, [MM("25.21")], books=True)

    assert [(step.act, step.load, step.pass_number) for step in acted.steps] == [
        (RunAct.PUSHED, 2, 1),
        (RunAct.READ, 2, 1),
    ]


def test_what_the_first_hub_taught_changes_the_passes_of_hubs_in_work_where_all_go_through_a_pass_in_turn() -> (
    None
):
    state = begun(LOOSE, quantity=2, order=Order.PASSES)
    hand = on_hand(LOOSE)
    while state.waits is not Waits.READING or state.load(1).to_do.stacks:
        state = then(state, not_read(state) if state.waits is Waits.READING else pushed(state, hand))

    acted = read(state, hand, [MM("28.135")])

    assert [step.act for step in acted.steps] == [RunAct.READ, RunAct.REPLANNED]
    assert acted.steps[1].load == 2
    assert acted.state.load(2).to_do.stacks == (("f", "a", "b"),)


def test_nothing_is_planned_from_a_reading_that_nobody_is_sure_of() -> None:
    state = begun(quantity=3, order=Order.PASSES)
    while len(state.load(1).passes) < 3:
        state = then(state, not_read(state) if state.waits is Waits.READING else pushed(state, HAND))
    state = then(state, read(state, HAND, [MM("27.26")], hub=1))
    assert state.why == "disputed"

    acted = aside(state, HAND, 2, why="cracked")

    assert [step.act for step in acted.steps] == [RunAct.ASIDE]
    assert acted.state.load(1).to_do == state.load(1).to_do


def test_a_reading_after_a_push_is_of_that_push_unless_the_next_one_is_booked_with_it() -> None:
    state = at_pass(1)

    (step,) = read(state, HAND, [MM("25.21")]).steps

    assert step.pass_number == 1
    assert [step.pass_number for step in read(state, HAND, [MM("26.21")], books=True).steps] == [2, 2]


def test_a_reading_of_a_named_hub_is_of_its_own_last_pass() -> None:
    state = hub_done(begun(quantity=3), "0.01")
    state = then(state, pushed(state, HAND, through=4))
    state = then(state, pushed(state, HAND))

    (step,) = read(state, HAND, [MM("28.12")], hub=2).steps

    assert (step.load, step.pass_number, step.hub) == (2, 4, 2)


def test_what_is_not_cut_cannot_be_read() -> None:
    state = at_pass(1, quantity=3)

    with pytest.raises(CribStateError, match="hub 3 is not cut yet; the run waits for pass 2 of hub 1"):
        read(state, HAND, [MM("28.1")], hub=3)
    with pytest.raises(InputError, match="hub: read 4; the run has hubs 1 to 3"):
        read(state, HAND, [MM("28.1")], hub=4)
    with pytest.raises(InputError, match="write one reading, or one for each end of the hub"):
        read(state, HAND, [])


# -- what it means ----------------------------------------------------------------------------------------------


def test_short_of_the_limits_the_passes_that_are_left_stay_as_planned_while_they_hold() -> None:
    state = at_pass(3)

    acted = read(state, HAND, [MM("27.21")])

    assert acted.steps[-1].to_do is None
    due = next_of(acted.state)
    assert due is not None
    assert (due.shims, due.plain, due.expected) == (("c", "a", "b"), MM("28.1"), MM("28.11"))
    assert (acted.state.status, acted.is_no) == (Status.RUNNING, False)


def test_where_the_last_reading_would_pass_its_limit_the_plan_found_with_the_offset_takes_over() -> None:
    # 28.1 mm and 0.06 mm deep are 28.16 mm, past 28.15 mm; f is 0.05 mm thinner than c and leads to 28.11 mm.
    state = at_pass(3)

    acted = read(state, HAND, [MM("27.26")], sure=True)

    assert acted.state.load(1).to_do.stacks == (("f", "a", "b"),)
    assert "f" in {piece.tag for piece in acted.steps[-1].pieces}
    due = next_of(acted.state)
    assert due is not None
    assert due.expected == MM("28.11")


def test_where_only_the_band_would_pass_the_limit_the_plan_found_takes_over_and_the_kept_one_is_offered() -> (
    None
):
    # 28.135 mm is within 28.15 mm, but not with 0.04 mm of play on top.
    state = begun(LOOSE)
    state = then(state, pushed(state, on_hand(LOOSE), through=3))

    acted = read(state, on_hand(LOOSE), [MM("27.235")])

    assert acted.state.load(1).to_do.stacks == (("f", "a", "b"),)
    assert acted.other is not None
    assert acted.other.stacks == (("c", "a", "b"),)


def test_the_plan_that_was_not_taken_is_offered_and_may_be_taken_instead() -> None:
    # As long as c, a and b hold, e and f with them lead nearer to the middle: 28.08 and 0.02 mm deep.
    state = at_pass(3)
    state = then(state, read(state, HAND, [MM("27.22")], sure=True))
    other = other_plan(state, HAND)
    assert state.load(1).to_do.stacks == (("c", "a", "b"),)
    assert other is not None
    assert other.stacks != (("c", "a", "b"),)

    acted = replanned(state, HAND, by="Kim", why="nearer to the middle")

    assert acted.state.load(1).to_do == other
    assert acted.other is not None
    assert acted.other.stacks == (("c", "a", "b"),)
    # And back again.
    assert replanned(acted.state, HAND).state.load(1).to_do.stacks == (("c", "a", "b"),)


def test_a_plan_that_breaks_a_rule_is_not_offered() -> None:
    # 28.16 mm with c, a and b: past the limit.
    state = at_pass(3)
    state = then(state, read(state, HAND, [MM("27.26")], sure=True))

    assert other_plan(state, HAND) is None
    with pytest.raises(CribStateError, match="there is no other plan; the run waits for pass 4 of hub 1"):
        replanned(state, HAND)


def test_the_plan_that_was_kept_until_now_is_offered_beside_the_one_that_takes_over() -> None:
    state = begun(LOOSE)
    state = then(state, pushed(state, on_hand(LOOSE), through=3))
    state = then(state, read(state, on_hand(LOOSE), [MM("27.235")]))

    other = other_plan(state, on_hand(LOOSE))

    assert other is not None
    assert other.stacks == (("c", "a", "b"),)
    assert replanned(state, on_hand(LOOSE)).state.load(1).to_do == other


def test_within_the_limits_nothing_is_left_to_do_on_the_hub() -> None:
    state = at_pass(4, quantity=2)
    state = then(state, read(state, HAND, [MM("28.12")]))

    assert state.outcome(1) is Outcome.WITHIN
    due = next_of(state)
    assert due is not None
    assert (due.load, due.pass_number) == (2, 1)


def test_past_the_limit_the_run_stops_and_waits_for_a_decision_on_that_hub() -> None:
    state = at_pass(4)
    acted = read(state, HAND, [MM("28.17")], sure=True)

    assert acted.is_no
    assert (acted.state.status, acted.state.why, acted.state.waits) == (
        Status.STOPPED,
        "past",
        Waits.DECISION,
    )
    assert next_of(acted.state) is None
    assert acted.answer is not None
    assert acted.answer.after is not None


def test_short_after_the_last_pass_one_more_is_planned_and_is_read_again() -> None:
    state = at_pass(4)

    state = then(state, read(state, HAND, [MM("28.04")], sure=True))

    due = next_of(state)
    assert due is not None
    assert (due.pass_number, due.gauge) == (5, (1,))
    # 0.06 mm shallow: d, 0.06 mm thick, takes it to 28.1 mm.
    assert due.expected == MM("28.1")
    state = then(state, pushed(state, HAND))
    assert state.waits is Waits.READING


def test_short_with_no_shim_that_leads_on_the_run_is_blocked() -> None:
    plain = RICH.but(shims=RICH.shims[:3])
    hand = on_hand(plain)
    state = begun(plain)
    state = then(state, pushed(state, hand, through=4))

    acted = read(state, hand, [MM("28.04")], sure=True)

    assert (acted.state.why, acted.is_no) == ("blocked", True)
    assert acted.state.causes == (Cause.BLOCKED,)


def test_off_its_band_a_reading_is_kept_and_stops_the_run_until_somebody_is_sure() -> None:
    state = at_pass(3)

    acted = read(state, HAND, [MM("27.35")])
    assert (acted.state.why, acted.is_no, acted.steps[-1].doubtful) == ("disputed", True, True)
    assert acted.steps[-1].to_do is None

    sure = read(acted.state, HAND, [MM("27.35")], sure=True)
    assert sure.steps[-1].step == acted.steps[-1].step + 1
    assert sure.state.status is Status.RUNNING


def test_a_reading_that_cannot_be_is_refused_and_nothing_is_kept() -> None:
    state = at_pass(3)
    state = then(state, read(state, HAND, [MM("27.2")]))

    with pytest.raises(InputError, match="a keyway floor reads more than the bore"):
        read(state, HAND, [MM(25)], books=True)
    with pytest.raises(InputError, match="a push takes metal away"):
        read(state, HAND, [MM("27.17")], books=True, sure=True)
    with pytest.raises(InputError, match="the thickest stack the crib has"):
        read(state, HAND, [MM("29.9")], books=True, sure=True)


def test_a_reading_before_the_floor_is_past_the_bore_is_refused() -> None:
    wide = RICH.but(hub={"bore": type(RICH.hub.bore)(MM(25), MM(25), MM("25.25"))})
    state = begun(wide)

    with pytest.raises(InputError, match="cannot be gauged; run the next pass"):
        read(state, on_hand(wide), [MM("25.26")], books=True)


# -- two ends ---------------------------------------------------------------------------------------------------


def test_two_ends_are_two_steps_and_are_planned_as_two_ends() -> None:
    state = at_pass(3)

    acted = read(state, HAND, [MM("27.21"), MM("27.24")], gauge=Gauge(typed=("27.21", "27.24")))

    assert [(step.end, step.t, step.typed) for step in acted.steps] == [
        (End.TOP, MM("27.21"), "27.21"),
        (End.BOTTOM, MM("27.24"), "27.24"),
    ]
    # The mean is 0.025 mm deep: c leads to 28.125 mm in the middle and to 28.14 mm at the bottom.
    due = next_of(acted.state)
    assert due is not None
    assert due.offset == MM("0.025")


def test_where_only_the_first_end_was_confirmed_the_run_waits_for_the_other() -> None:
    state = at_pass(3)
    top, bottom = read(state, HAND, [MM("27.21"), MM("27.24")]).steps

    half = state_of(state.run, (*state.steps, top))

    assert (half.waits, half.to_gauge) == (Waits.READING, (1, (1,)))
    whole = state_of(state.run, (*half.steps, bottom))
    assert whole.waits is Waits.PUSH


def test_one_end_past_and_one_short_is_past() -> None:
    state = at_pass(4)

    acted = read(state, HAND, [MM("28.03"), MM("28.16")], sure=True)

    assert acted.state.outcome(1) is Outcome.PAST


def test_one_hub_of_three_passes_is_five_steps_two_of_them_readings() -> None:
    # 25.7 mm with no shim, then 26.9 mm and 28.1 mm.
    three = RICH.but(bushing={"web": MM("12.5")}, shims=(shim("p", MM("1.2")), shim("q", MM("1.2"))))
    hand = on_hand(three)
    state = begun(three)
    assert state.new_hubs.stacks == ((), ("p",), ("p", "q"))

    state = then(state, pushed(state, hand, through=1))
    state = then(state, read(state, hand, [MM("26.91")], books=True))
    due = next_of(state)
    assert due is not None
    assert (due.pass_number, due.of, due.expected) == (3, 3, MM("28.11"))
    state = then(state, read(state, hand, [MM("28.11")], books=True))

    assert [step.act for step in state.steps[1:]] == [
        RunAct.PUSHED,
        *(RunAct.PUSHED, RunAct.READ),
        *(RunAct.PUSHED, RunAct.READ),
    ]
    assert (state.waits, state.outcome(1)) == (Waits.END, Outcome.WITHIN)
