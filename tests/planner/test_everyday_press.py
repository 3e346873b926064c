"""Everyday work that a bench arbor press does is planned for it, as any shop would expect: common practice, no source."""

from __future__ import annotations

import pytest

from broachplan.crib.shelf import Shelf
from broachplan.lengths import Length
from broachplan.planner.answer import Answer, Rule, Warn
from broachplan.planner.plan import plan
from broachplan.quantities import parse_force
from broachplan.questions.hub import HubQuestion
from broachplan.questions.read_hub import read_hub_question
from broachplan.settings import Settings
from broachplan.tooling.pieces import Broach, Bushing, Press, Shim

inch = Length.inches
# 16 teeth that rise 0.003 in at a pitch of 5/16 in; short enough for a bench press.
BROACH = Broach(
    tag="K", keyway_width=inch("0.188"), body_width=inch("0.187"), first_tooth_height=inch("0.4195"),
    last_tooth_height=inch("0.4645"), tooth_pitch=inch("0.3125"), rising_teeth=16, finishing_teeth=1,
    root_height=inch("0.33"), front_length=inch("0.75"), overall_length=inch("6.75"),
)  # fmt: skip
BUSHING = Bushing(
    tag="G", outside_diameter=inch("0.749"), slot_width=inch("0.1895"), web=inch("0.313"), length=inch("1.5")
)
SHIMS = tuple(Shim(tag=f"S{i}", thickness=inch("0.032"), width=inch("0.1875")) for i in range(2))


def answer(rated: str, material: str = "mild steel") -> Answer:
    hub, keyway = read_hub_question(
        HubQuestion(bore="3/4 in +0.001 -0", key="3/16 in", hub_length="1 in", material=material)
    )
    press = Press(tag="P", rated_force=parse_force(rated, "rated force"))
    return plan(hub, keyway, Shelf((BROACH,), (BUSHING,), SHIMS, (press,), {}), Settings())


def test_a_3_16_keyway_in_an_inch_of_mild_steel_is_ready_on_a_bench_press_of_2000_pounds() -> None:
    planned = answer("2000 lbf")

    assert planned.ready
    best = planned.plans[0]
    assert best.press is not None
    assert Warn.PRESS_HEAVY not in {caution.rule for caution in best.cautions}
    # Four teeth of 0.188 x 0.003 in at the handbook's broaching pressure for steel of medium tensile strength,
    # 2,551 N/mm2 at 0.002 in and 2,179 at 0.004 in (memory): 722 to 846 lbf.
    area_mm2 = 0.188 * 0.003 * 645.16
    for one in best.passes[1:]:
        assert one.teeth_in_cut == 4
        assert one.force_low is not None
        assert 4 * 2179 * area_mm2 < one.force_low < 4 * 2551 * area_mm2


@pytest.mark.parametrize(("rated", "heavy"), [("1700 lbf", False), ("1200 lbf", True)])
def test_a_press_between_its_share_and_its_rated_force_is_warned_of(rated: str, heavy: bool) -> None:
    warned = {caution.rule for caution in answer(rated).plans[0].cautions}

    assert (Warn.PRESS_HEAVY in warned) is heavy


def test_a_press_of_1000_pounds_is_too_small_for_it() -> None:
    assert [refusal.rule for refusal in answer("1000 lbf").refusals] == [Rule.PRESS_FORCE]


def test_medium_carbon_steel_takes_no_less_force_than_mild_steel() -> None:
    def forces(material: str) -> list[tuple[float, float]]:
        passes = answer("2000 lbf", material).plans[0].passes
        return [(one.force_low or 0, one.force_high or 0) for one in passes]

    mild, medium = forces("mild steel"), forces("medium-carbon steel")
    assert all(low <= more for (low, _), (more, _) in zip(mild, medium, strict=True))
    assert all(high < more for (_, high), (_, more) in zip(mild, medium, strict=True))
