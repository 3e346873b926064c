"""Runs for the tests: the planner's set-up at the press, and its steps as they are added one by one.

Bore 25 mm, keyway 7 mm, limits 28.05 to 28.15 mm: no shim reads 25.2 mm, then a, a and b, and all three read 26.2,
27.2 and 28.1 mm. Every figure is exact, joints hold no oil, and the bushing has 0.02 mm of play.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from broachplan.crib.records import Measurement
from broachplan.lengths import Length
from broachplan.runs.acts.acting import Acted
from broachplan.runs.acts.pushing import pushed
from broachplan.runs.acts.reading import read
from broachplan.runs.acts.starting import started
from broachplan.runs.ahead import OnHand
from broachplan.runs.fold import state_of
from broachplan.runs.run import Run
from broachplan.runs.state import RunState
from tests.planner.setups import BASE, SetUp, shim

MM = Length.mm
# With thinner shims in the drawer a wrong one can be in, and the last pass can be planned again.
RICH = BASE.but(shims=(*BASE.shims, shim("d", MM("0.06")), shim("e", MM("0.03")), shim("f", MM("0.85"))))

# 0.04 mm of play.
LOOSE = RICH.but(bushing={"outside_diameter": MM("24.96")})


def run_of(setup: SetUp = RICH, **changes: Any) -> Run:
    """A run of one hub, unless changed."""
    facts: dict[str, Any] = {
        "number": 7,
        "question": {"bore": "25 mm", "hub_length": "17 mm"},
        "hub": setup.hub,
        "keyway": setup.keyway,
        "settings": setup.settings,
        "program": "0",
    }
    facts["read_each"] = changes.get("quantity", 1)
    return Run(**facts | changes)


def on_hand(setup: SetUp = RICH, **versions: int) -> OnHand:
    """What the crib has for a set-up; every piece measured with a micrometer."""
    shelf = setup.shelf
    every = (*shelf.broaches, *shelf.bushings, *shelf.shims, *shelf.presses)
    return OnHand(shelf, {piece.tag: Measurement("micrometer") for piece in every}, versions)


def begun(setup: SetUp = RICH, **changes: Any) -> RunState:
    """A run that was just started."""
    run = run_of(setup, **changes)
    answer = setup.but(hub=replace(setup.hub)).answer()
    return state_of(run, [started(run, answer.plans[0], on_hand(setup))])


def then(state: RunState, acted: Acted) -> RunState:
    """The run after an act on it."""
    assert acted.before is state
    return acted.state


def at_pass(number: int, **changes: Any) -> RunState:
    """A run after so many passes of its first hub, not read."""
    state = begun(**changes)
    return then(state, pushed(state, on_hand(), through=number))


def hub_done(state: RunState, deep: str) -> RunState:
    """The next hub cut whole and read ``deep`` mm deeper than plain after its last pass."""
    load = state.current
    assert load is not None
    state = then(state, pushed(state, on_hand(), through=len(load.passes) + len(load.to_do.stacks)))
    hub = state.in_work(load)[0]
    return then(state, read(state, on_hand(), [MM("28.1") + MM(deep)], hub=hub, sure=True))
