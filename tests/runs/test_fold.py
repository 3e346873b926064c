"""The fold over the steps: what a run is after each of them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from broachplan.runs.acts.pushing import pushed
from broachplan.runs.fold import FoldError, after, state_of
from broachplan.runs.next import next_of
from broachplan.runs.state import Phase, Status, Waits
from broachplan.runs.steps import RunAct, Step
from tests.runs.scenes import MM, begun, on_hand, run_of, then


def test_a_run_that_was_started_waits_for_its_first_push() -> None:
    state = begun(quantity=2)

    assert (state.status, state.waits, state.step) == (Status.RUNNING, Waits.PUSH, 1)
    due = next_of(state)
    assert due is not None
    assert (due.load, due.hubs, due.pass_number, due.of, due.shims) == (1, (1,), 1, 4, ())
    assert due.plain == due.expected == MM("25.2")
    assert state.phase(state.load(1)) is Phase.SET_UP
    assert state.phase(state.load(2)) is Phase.WAITING


def test_after_a_push_the_next_pass_is_due_with_its_shims_from_the_slot_floor_up() -> None:
    state = begun()
    for _ in range(3):
        state = then(state, pushed(state, on_hand(), through=len(state.load(1).passes) + 1))

    due = next_of(state)
    assert state.waits is Waits.READING
    assert due is None
    assert state.load(1).to_do.stacks == (("c", "a", "b"),)


def test_steps_without_a_start_or_with_a_gap_are_no_run() -> None:
    state = begun()
    step = pushed(state, on_hand()).steps[0]

    with pytest.raises(FoldError, match="the run has no start"):
        state_of(run_of(), [])
    with pytest.raises(FoldError, match="step 3 comes after step 1"):
        after(state, replace(step, step=3))
    with pytest.raises(FoldError, match="step 2: a run starts with its first step and with no other"):
        after(state, replace(state.steps[0], step=2))
    with pytest.raises(FoldError, match="step 2: pass 2 of load 1 is not due"):
        after(state, replace(step, pass_number=2))
    with pytest.raises(FoldError, match="step 2: no load 5"):
        after(state, replace(step, load=5))


def test_a_piece_that_the_run_never_took_was_not_in() -> None:
    state = begun()
    step = Step(step=2, act=RunAct.PUSHED, load=1, pass_number=1, hubs=(1,), shims=("x",))

    with pytest.raises(FoldError, match="step 2: x is no piece of the run"):
        after(state, step)
