"""The whole set of thicknesses of one shim to cut: inside an interval a plan exists, outside none."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from random import Random

from broachplan.buying.thicknesses import thicknesses_for
from broachplan.cut.teeth import Teeth
from broachplan.lengths import Length
from broachplan.planner.make_shims import THINNEST_SHIM_NM
from broachplan.planner.pairs import most_total_nm, pair_of, problem_of
from broachplan.planner.passes import PassProblem
from broachplan.planner.presses import PressChoice, presses_for
from broachplan.planner.rules import slot_refusal
from broachplan.planner.search import Search
from broachplan.planner.tried import Trial, try_hub
from broachplan.tooling.pieces import Broach, Bushing, Shim
from tests.planner.setups import MM, SetUp
from tests.referee.brute_force import Question, possible
from tests.referee.cribs import crib


def problems(question: Question) -> Iterator[tuple[Broach, Bushing, PassProblem]]:
    """The pairs that fit, that a press has room for, and that have no plan."""
    tried = try_hub(Trial(question.hub, question.keyway, question.shelf, question.settings, question.press))
    case = tried.case
    for broach in tried.broaches if tried.choice else ():
        room = presses_for(broach, tried.choice, case)
        for bushing in tried.bushings if isinstance(room, PressChoice) else ():
            if slot_refusal(broach, bushing, case) is None:
                pair = pair_of(broach, bushing, Teeth.of(broach), room, case)
                totals = tried.drawer.totals(bushing.slot_width, most_total_nm(broach, bushing, case))
                problem = problem_of(pair, totals, case)
                if Search(problem).passes_at_least is None:
                    yield broach, bushing, problem


def has_plan(question: Question, broach: Broach, bushing: Bushing, thick: int) -> bool:
    """Whether the pair has a plan by brute force with one shim more."""
    new = Shim(tag="N", thickness=Length(thick), width=bushing.slot_width)
    shelf = replace(
        question.shelf, broaches=(broach,), bushings=(bushing,), shims=(*question.shelf.shims, new)
    )
    return possible(replace(question, shelf=shelf))


def test_inside_an_interval_a_plan_exists_and_outside_none() -> None:
    inside = outside = by_load = 0
    for number in range(60):
        question = crib(number)
        random = Random(number)
        for broach, bushing, problem in list(problems(question))[:1]:
            found = thicknesses_for(problem)
            most = max(problem.totals.most_nm, THINNEST_SHIM_NM)
            # Where only the load decides, ends are exact to what a micrometer shows.
            geometry = thicknesses_for(problem.without_load())
            exact = found == geometry
            by_load += not exact
            by = (-1, 0, 1) if exact else (-2_540, 0, 2_540)
            ends = [end + one for low, high in found for end in (low, high) for one in by]
            for thick in [*ends, *(random.randint(THINNEST_SHIM_NM, most) for _ in range(12))]:
                if not THINNEST_SHIM_NM <= thick <= most:
                    continue
                within = any(low <= thick <= high for low, high in found)
                near = min((abs(thick - end) for one in found for end in one), default=most)
                if exact or near >= 2_540 or within:
                    assert has_plan(question, broach, bushing, thick) is within, (number, thick, found)
                    inside += within
                    outside += not within
    assert inside > 100
    assert outside > 100
    assert by_load > 0


def test_the_third_shim_of_the_set_up_may_have_any_thickness_that_reads_within_the_limits() -> None:
    set_up = SetUp()
    question = Question(
        set_up.hub, set_up.keyway, replace(set_up.shelf, shims=set_up.shims[:2]), set_up.settings
    )

    ((_, _, problem),) = problems(question)

    # 12.0 + 13.2 + 1.0 + 1.0 mm are there; the limits are 28.05 to 28.15 mm.
    assert (MM("0.85").nm, MM("0.95").nm) in thicknesses_for(problem)
