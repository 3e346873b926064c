"""A plan from what the bounds let through is the plan from the whole crib, also where figures are unknown."""

from __future__ import annotations

from dataclasses import replace

import pytest

from broachplan.crib.records import Record
from broachplan.planner.bounds import bounds_of
from broachplan.store.shelf_read import read_shelf
from broachplan.store.work import reading
from tests.ground import emptied
from tests.referee.compare import answered
from tests.referee.cribs import crib
from tests.store.cribs import fill


@pytest.mark.parametrize("numbers", [range(10), pytest.param(range(16), marks=pytest.mark.nightly)])
def test_pieces_with_unknown_figures_are_read_wherever_they_can_serve(numbers: range) -> None:
    served = 0
    for number in numbers:
        question = crib(number, ("bare", "unknown"))
        whole = replace(question.shelf, off={})
        pieces = (*whole.broaches, *whole.bushings, *whole.shims, *whole.presses)
        db = str(emptied("bounds") / "crib.db")
        fill(db, [Record(piece=piece) for piece in pieces])
        with reading(db) as work:
            bounds = bounds_of(question.keyway, question.hub.bore.lower, question.settings)
            read = replace(read_shelf(work, bounds), homes={})
        found, expected = (answered(replace(question, shelf=shelf)) for shelf in (read, whole))
        assert (found.plans, found.make) == (expected.plans, expected.make)
        served += sum(None in (one.broach.rising_teeth, one.broach.tooth_pitch) for one in found.plans)
    assert served > 1
