"""A reading that is off its band because another shim was in than was planned."""

from __future__ import annotations

from broachplan.runs.acts.correcting import corrected_shims
from broachplan.runs.acts.pushing import pushed
from broachplan.runs.acts.reading import read
from broachplan.runs.state import Cause
from tests.runs.scenes import MM, RICH, begun, on_hand, then


def test_a_disputed_reading_is_disputed_no_longer_once_the_shim_that_was_in_explains_it_and_is_again_once_it_does_not() -> (
    None
):
    hand = on_hand(RICH)
    state = begun(RICH)
    state = then(state, pushed(state, hand, through=1))
    state = then(state, pushed(state, hand))
    planned = state.load(1).passes[-1].shims
    plain = state.plain_of(state.load(1).passes[-1])
    push = state.step
    state = then(state, read(state, hand, [plain - MM("0.15")], books=False))
    assert Cause.DISPUTED in state.causes

    right = then(state, corrected_shims(state, hand, push, ("f",), why="it was f"))
    wrong = then(right, corrected_shims(right, hand, push, planned, why="it was not"))

    assert Cause.DISPUTED not in right.causes
    assert Cause.DISPUTED in wrong.causes
