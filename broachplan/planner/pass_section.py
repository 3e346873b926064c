"""The section of one pass of a plan, for a picture."""

from __future__ import annotations

from broachplan.cut.picture import SectionPicture, draw_section
from broachplan.errors import InputError
from broachplan.planner.answer import Answer, Plan


def section_of(answer: Answer, plan: Plan, passed: int) -> SectionPicture | None:
    """The section of the pass at place ``passed``; None where a figure for it was never measured."""
    readings = [one.reading for one in plan.passes[: passed + 1]]
    stack = plan.passes[passed].stack if plan.passes else ()
    try:
        return draw_section(answer.hub, answer.keyway, plan.broach, plan.bushing, stack, readings)
    except InputError:
        return None
