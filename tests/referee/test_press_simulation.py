"""What a plan foretells of each push, against a press simulated tooth by tooth."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings

from broachplan.planner.answer import Pass, Plan
from broachplan.tooling.materials import Material
from tests.referee.brute_force import Question
from tests.referee.compare import answered, crib_and_answer
from tests.referee.cribs import questions
from tests.referee.press_simulation import Push, simulate
from tests.referee.test_best_plan import SLOW_IS_MEANT

NEAREST_NM = 1.0  # a bite from the corners is not a whole number of nanometres: both sides round
FORCE_SHARE = 0.005


def compare_pushes(question: Question, found: Plan) -> None:
    """Every pass of a plan against its push.

    Whatever number of teeth a broach has, and however far apart: the first tooth's bite and the reading are the same.
    """
    totals = [step.shims.nm for step in found.passes]
    counted, spaced = found.broach.rising_teeth, found.broach.tooth_pitch
    teeth = {"rising_teeth": counted or 2, "tooth_pitch": spaced or question.hub.length}
    tool = replace(found.broach, overall_length=None, **teeth)
    pushes = simulate(question.hub, tool, found.bushing, totals)
    for number, (step, push) in enumerate(zip(found.passes, pushes, strict=True), 1):
        assert step.number == number
        assert sum(shim.thickness.nm for shim in step.stack) == step.shims.nm
        assert step.reading.nm == push.reading
        assert step.first_bite.nm == pytest.approx(push.first_bite, abs=NEAREST_NM)
        if counted:
            assert step.largest_bite.nm == pytest.approx(push.largest_bite, abs=NEAREST_NM)
        else:
            assert step.largest_bite is None
        assert step.teeth_cutting == (push.teeth_cutting if counted else None)
        assert step.teeth_in_cut == (push.teeth_in_cut if spaced else None)
        compare_forces(question, question.hub.material if counted and spaced else None, step, push)
    assert found.reading.nm == pushes[-1].reading


@dataclass(frozen=True)
class HighNeverUnderLow:
    """The high force of a chip: that of a dulled edge, or the low one where that is more."""

    material: Material
    dulled: float

    def at(self, chip_mm: float) -> float:
        """kc in N/mm2."""
        return max(self.material.low.at(chip_mm), self.dulled * self.material.high.at(chip_mm))


def compare_forces(question: Question, material: Material | None, step: Pass, push: Push) -> None:
    if material is None:
        assert step.force_low is None
        assert step.force_high is None
        return
    high = HighNeverUnderLow(material, float(question.settings.dull_edge))
    assert step.force_low == pytest.approx(push.force(material.low), rel=FORCE_SHARE, abs=0.5)
    assert step.force_high == pytest.approx(push.force(high), rel=FORCE_SHARE, abs=0.5)


def test_every_pass_of_every_plan_does_what_the_simulated_press_shows() -> None:
    seen: Counter[str] = Counter()
    for number in range(200):
        question, answer = crib_and_answer(number)
        for found in answer.plans:
            compare_pushes(question, found)
            seen["passes"] += len(found.passes)
            seen["loads"] += question.hub.material is not None
    assert seen["passes"] > 300
    assert seen["loads"] > 100


@pytest.mark.nightly
@hypothesis_settings(max_examples=1_000, deadline=None, suppress_health_check=SLOW_IS_MEANT)
@given(questions())
def test_every_pass_of_many_plans_does_what_the_simulated_press_shows(question: Question) -> None:
    for found in answered(question).plans:
        compare_pushes(question, found)
