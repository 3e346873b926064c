"""The whole set of webs for which there is a plan: inside an interval a plan exists, outside none."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from broachplan.buying.webs import webs_for
from broachplan.cut.teeth import Teeth
from broachplan.lengths import NM_PER_INCH, Length
from broachplan.planner.presses import PressChoice, presses_for
from broachplan.planner.tried import Trial, try_hub
from broachplan.tooling.pieces import Bushing
from tests.planner.setups import MM, SetUp
from tests.referee.brute_force import Question, possible
from tests.referee.cribs import crib

THINNEST = NM_PER_INCH // 16


def webs(question: Question) -> dict[str, list[tuple[int, int]]]:
    """The webs for each broach that keeps its own rules and that a press has room for."""
    shelf = replace(question.shelf, bushings=())
    tried = try_hub(Trial(question.hub, question.keyway, shelf, question.settings, question.press))
    if tried.choice is None:
        return {}
    rooms = {broach: presses_for(broach, tried.choice, tried.case) for broach in tried.broaches}
    return {
        broach.tag: webs_for(broach, room, tried.drawer, tried.case)
        for broach, room in rooms.items()
        if isinstance(room, PressChoice)
    }


def has_plan(question: Question, tag: str, web: int) -> bool:
    """Whether a bushing of this web, with any slot that the rule allows, has a plan by brute force."""
    shelf, settings = question.shelf, question.settings
    (broach,) = (one for one in shelf.broaches if one.tag == tag)
    widest = max(w.nm for w in (broach.keyway_width, broach.body_width) if w)
    widths = {s.width.nm for s in shelf.shims if s.width}
    slots = {widest, widest + settings.slot_clearance.nm, *widths} | {
        width + settings.shim_clearance.nm for width in widths
    }
    bore = question.hub.bore.lower
    return any(
        possible(
            replace(
                question,
                shelf=replace(
                    shelf,
                    broaches=(broach,),
                    bushings=(
                        Bushing(tag="N", outside_diameter=bore, slot_width=Length(slot), web=Length(web)),
                    ),
                ),
            )
        )
        for slot in slots
        if widest <= slot <= widest + settings.slot_clearance.nm and slot < bore.nm
    )


def test_inside_an_interval_a_plan_exists_and_outside_none() -> None:
    inside = outside = several = 0
    for number in range(40):
        question = crib(number)
        random = Random(number)
        for tag, found in list(webs(question).items())[:1]:
            several += len(found) > 1
            (broach,) = (one for one in question.shelf.broaches if one.tag == tag)
            most = min(
                question.keyway.reading.upper.nm - Teeth.of(broach).last_nm + 5_000,
                question.hub.bore.lower.nm - 1,
            )
            ends = [end + by for low, high in found for end in (low, high) for by in (-1, 0, 1)]
            tried = [*ends, *(random.randint(THINNEST, max(most, THINNEST)) for _ in range(12))]
            for web in tried:
                if not THINNEST <= web < question.hub.bore.lower.nm:
                    continue
                within = any(low <= web <= high for low, high in found)
                assert has_plan(question, tag, web) is within, (number, tag, web, found)
                inside += within
                outside += not within
    assert inside > 100
    assert outside > 100
    assert several > 3


def test_a_web_that_reads_right_with_the_stacks_there_are_is_among_them() -> None:
    set_up = SetUp()
    question = Question(set_up.hub, set_up.keyway, set_up.shelf, set_up.settings)

    (found,) = webs(question).values()

    # With 2.9 mm of shims under 13.2 mm: a web of 11.95 to 12.05 mm reads 28.05 to 28.15 mm.
    assert any(low <= MM("11.95").nm and MM("12.05").nm <= high for low, high in found)
