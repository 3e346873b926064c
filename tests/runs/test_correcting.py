"""What was booked wrong is put right by a step of its own; nothing is overwritten."""

from __future__ import annotations

from dataclasses import replace

import pytest

from broachplan.errors import CribStateError, InputError
from broachplan.lengths import Length
from broachplan.runs.acts.correcting import corrected_reading, corrected_shims, measured
from broachplan.runs.acts.pushing import pushed
from broachplan.runs.acts.reading import read
from broachplan.runs.acts.stopping import abandoned, ended, parked
from broachplan.runs.next import next_of
from broachplan.runs.offsets import learnt_offset
from broachplan.runs.state import Outcome, RunState, Status, Waits
from broachplan.runs.steps import RunAct
from tests.runs.scenes import MM, begun, on_hand, then

HAND = on_hand()


def read_at_3(t: str = "27.21") -> RunState:
    state = begun()
    state = then(state, pushed(state, HAND, through=3))
    return then(state, read(state, HAND, [MM(t)], sure=True))


def test_the_step_that_was_wrong_stays_as_it_is() -> None:
    state = read_at_3()

    acted = corrected_shims(state, HAND, 4, ("a", "b", "e"), why="e was in", by="Kim")

    assert acted.state.steps[: state.step] == state.steps
    step = acted.steps[0]
    assert (step.act, step.corrects, step.shims, step.why) == (
        RunAct.CORRECTED,
        4,
        ("a", "b", "e"),
        "e was in",
    )
    assert step.plain == MM("27.23")


def test_another_shim_in_sets_the_offset_anew_and_the_reading_stays() -> None:
    # Read 27.22 with 27.23 plain: 0.01 mm shallow, where 0.02 mm deep was thought.
    state = read_at_3("27.22")

    state = then(state, corrected_shims(state, HAND, 4, ("a", "b", "e"), why="e was in"))

    due = next_of(state)
    assert due is not None
    assert due.offset == MM("-0.01")
    assert due.expected == due.plain - MM("0.01")


def test_the_last_correction_of_a_step_counts_whichever_of_them_is_named() -> None:
    state = read_at_3()
    state = then(state, corrected_shims(state, HAND, 4, ("a", "b", "e"), why="e was in"))
    state = then(state, corrected_shims(state, HAND, 6, ("a", "b"), why="it was not"))

    due = next_of(state)
    assert due is not None
    assert due.offset == MM("0.01")


def test_a_push_before_the_last_one_is_put_right_as_well() -> None:
    state = begun()
    state = then(state, pushed(state, HAND, through=2))

    state = then(state, corrected_shims(state, HAND, 2, ("e",), why="e was in"))

    assert state.load(1).passes[0].shims == ("e",)
    assert state.load(1).passes[1].shims == ("a",)


def test_a_reading_is_corrected_with_a_name_and_a_reason() -> None:
    state = read_at_3()

    acted = corrected_reading(state, HAND, 5, MM("27.22"), why="typed wrong", by="Kim")

    assert (acted.steps[0].t, acted.steps[0].by, acted.steps[0].hub) == (MM("27.22"), "Kim", 1)
    due = next_of(acted.state)
    assert due is not None
    assert due.offset == MM("0.02")
    with pytest.raises(InputError, match="by: write who puts the reading right"):
        corrected_reading(state, HAND, 5, MM("27.22"), why="typed wrong", by=" ")
    with pytest.raises(InputError, match="why: write why the reading is put right"):
        corrected_reading(state, HAND, 5, MM("27.22"), why="", by="Kim")


@pytest.mark.parametrize(
    ("t", "says"),
    [("272.1", "the thickest stack the crib has"), ("24.9", "a keyway floor reads more than the bore")],
)
def test_a_reading_is_not_put_right_to_one_that_cannot_be(t: str, says: str) -> None:
    state = read_at_3()

    with pytest.raises(InputError, match=says):
        corrected_reading(state, HAND, 5, MM(t), why="a slip of the point", by="Kim")


def test_a_reading_that_was_none_is_taken_out() -> None:
    state = begun()
    state = then(state, pushed(state, HAND, through=4))
    state = then(state, read(state, HAND, [MM("28.12")]))

    state = then(state, corrected_reading(state, HAND, 6, None, why="it was another hub's", by="Kim"))

    assert state.outcome(1) is Outcome.NOT_MEASURED
    assert learnt_offset(state, "K", "G") == Length(0)


def test_a_reading_put_right_takes_back_what_followed_from_the_wrong_one() -> None:
    state = begun()
    state = then(state, pushed(state, HAND, through=4))
    state = then(state, read(state, HAND, [MM("28.17")], sure=True))
    assert state.why == "past"

    state = then(state, corrected_reading(state, HAND, 6, MM("28.11"), why="typed wrong", by="Kim"))

    assert (state.status, state.waits) == (Status.RUNNING, Waits.END)


def test_one_end_of_two_is_corrected_by_itself() -> None:
    state = begun()
    state = then(state, pushed(state, HAND, through=3))
    state = then(state, read(state, HAND, [MM("27.2"), MM("27.21")]))

    state = then(state, corrected_reading(state, HAND, 6, MM("27.23"), why="typed wrong", by="Kim"))

    due = next_of(state)
    assert due is not None
    assert due.offset == MM("0.015")


def test_a_reading_of_a_run_that_is_done_may_still_be_put_right_one_of_an_abandoned_run_may_not() -> None:
    state = begun()
    state = then(state, pushed(state, HAND, through=4))
    state = then(state, read(state, HAND, [MM("28.12")]))
    given_up = then(state, abandoned(state, why="no more hubs"))
    done = then(state, ended(state))

    done = then(done, corrected_reading(done, HAND, 6, MM("28.16"), why="typed wrong", by="Kim"))

    assert (done.status, done.outcome(1)) == (Status.DONE, Outcome.PAST)
    with pytest.raises(CribStateError, match="no reading can be corrected; it is abandoned"):
        corrected_reading(given_up, HAND, 6, MM("28.1"), why="typed wrong", by="Kim")


@pytest.mark.parametrize(
    ("at", "says"),
    [
        (0, "the run has steps 1 to 5"),
        (9, "the run has steps 1 to 5"),
        (1, "step 1 is neither a push nor a reading"),
    ],
)
def test_only_a_push_or_a_reading_is_put_right(at: int, says: str) -> None:
    with pytest.raises(InputError, match=says):
        corrected_shims(read_at_3(), HAND, at, ("a",), why="wrong")


def test_a_push_is_no_reading_and_a_reading_is_no_push() -> None:
    state = read_at_3()

    with pytest.raises(InputError, match="name a step that booked a reading"):
        corrected_reading(state, HAND, 4, MM("27.2"), why="wrong", by="Kim")
    with pytest.raises(InputError, match="name a step that booked a push"):
        corrected_shims(state, HAND, 5, ("a",), why="wrong")
    with pytest.raises(InputError, match="a keyway floor reads more than the bore"):
        corrected_reading(state, HAND, 5, MM(25), why="wrong", by="Kim")


def test_a_reading_that_was_replaced_since_is_not_put_right() -> None:
    state = read_at_3()
    state = then(state, read(state, HAND, [MM("27.2")], hub=1, books=False))

    with pytest.raises(CribStateError, match="the reading of step 5 was replaced since"):
        corrected_reading(state, HAND, 5, MM("27.2"), why="wrong", by="Kim")


# -- a piece measured again -------------------------------------------------------------------------------------


def test_a_shim_measured_again_in_mid_run_moves_the_plain_readings_and_sets_the_offset_anew() -> None:
    state = read_at_3()
    kept = state.pieces["b"]
    thicker = replace(kept, piece=replace(kept.piece, thickness=MM("1.004")), version=2)  # type: ignore[call-arg]

    acted = measured(state, HAND, thicker, by="Kim")

    assert (acted.steps[0].act, acted.steps[0].piece) == (RunAct.MEASURED, "b")
    due = next_of(acted.state)
    assert due is not None
    # 27.204 mm plain, 27.21 mm read; the last stack is 0.004 mm thicker too.
    assert (due.offset, due.plain) == (MM("0.006"), MM("28.104"))


def test_only_a_piece_that_is_with_the_run_is_measured_in_it() -> None:
    state = read_at_3()
    there = HAND.known("f")
    assert there is not None
    with pytest.raises(InputError, match="piece: read “f”; name a piece that the run has"):
        measured(state, HAND, HAND.taken(there))

    state = then(state, parked(state))
    with pytest.raises(CribStateError, match="a piece in the crib is measured there"):
        measured(state, HAND, state.pieces["b"])
