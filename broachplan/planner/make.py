"""What to turn, slot, cut or look for when the crib has no plan for a hub; the same limits feed the buyer."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import islice

from broachplan.cut.teeth import Teeth
from broachplan.lengths import Length
from broachplan.planner.answer import Make, Rule
from broachplan.planner.make_broach import broach_to_find
from broachplan.planner.make_bushing import bushing_and_shims, bushing_to_turn
from broachplan.planner.make_shims import free_passes, shim_list, shim_widths, shims_to_cut
from broachplan.planner.pairs import FinishedPair, Pair, bearing_of, most_total_nm, problem_of
from broachplan.planner.passes import PassProblem
from broachplan.planner.presses import PressChoice, presses_for
from broachplan.planner.rules import Case, Reason, slot_refusal
from broachplan.planner.tried import TrialResult
from broachplan.shown import numbered
from broachplan.tooling.pieces import Broach

# Pairs and broaches are tried in the order of tags; a crib with more of one width offers nothing new.
_MOST_TRIED = 6


def pieces_to_make(tried: TrialResult) -> tuple[Make, ...]:
    """The shims or the bushing that would make a blocked hub possible, each way to do it after the other.

    Shims to cut for a pair that fits come first, then a bushing to turn, with shims where it must be. Pieces of one
    ``way`` go together.
    """
    if tried.choice is None or not tried.broaches:
        return ()
    shims = _shims(tried, tried.choice)
    if not tried.case.start.is_bare_bore:
        return shims
    turned = _turned(tried, tried.choice, with_shims=not shims)
    second = 2 if shims else 1
    return (*shims, *(replace(make, way=second) for make in turned))


def broaches_to_find(tried: TrialResult) -> tuple[Make, ...]:
    """The broach to look for, for a bushing of the crib or, where none suits, with a bushing to turn for it."""
    if tried.choice is None:
        return ()
    return broach_to_find(tried.bushings, tried.choice, tried.drawer, tried.case)


def turned_for(broach: Broach, tried: TrialResult, slot: Length | None) -> Make | None:
    """The bushing to turn for one broach on the shims on hand, with a given slot where that is known."""
    room = Reason(Rule.OPENING, "") if tried.choice is None else presses_for(broach, tried.choice, tried.case)
    if isinstance(room, Reason):
        return None
    found = bushing_to_turn(broach, Teeth.of(broach), room, tried.drawer, tried.case, slot)
    return None if found is None else found.make[0]


def shim_that_saves_a_pass(found: FinishedPair, case: Case) -> str | None:
    """Words for a shim that would save the best plan a pass; None where none would."""
    passes = len(found.order.lifts)
    problem = found.search.problem
    if free_passes(problem) >= passes:
        return None
    cut = shims_to_cut(problem, most_passes=passes - 1, most_new=1)
    slot = found.pair.bushing.slot_width
    if cut is None or slot is None:
        return None
    (make,) = shim_list(cut, shim_widths(slot, case), "")
    low, high = make.limits["thickness"]
    return (
        f"one more shim of {case.words(make.best['thickness'])} ({case.between(low, high)}) "
        f"would do it in {len(cut.passes)} instead of {passes}"
    )


def _shims(tried: TrialResult, choice: PressChoice) -> tuple[Make, ...]:
    """The shims to cut for the pair that needs the fewest of them, then the fewest passes."""
    problems = islice(_problems(tried, choice), _MOST_TRIED)
    cuts = [(pair, shims_to_cut(problem)) for pair, problem in problems]
    there = [(pair, cut) for pair, cut in cuts if cut is not None]
    if not there:
        return ()
    pair, cut = min(there, key=lambda one: (len(one[1].thicknesses), len(one[1].passes)))
    text = f"cut for broach {pair.broach.tag} in bushing {pair.bushing.tag}: then {numbered(len(cut.passes), 'pass', 'passes')}"
    return shim_list(cut, _widths(pair, tried.case), text)


def _problems(tried: TrialResult, choice: PressChoice) -> Iterator[tuple[Pair, PassProblem]]:
    """The pairs that fit each other and a press, that the broach can enter, and could be planned with other shims."""
    case = tried.case
    for broach in tried.broaches:
        room = presses_for(broach, choice, case)
        if isinstance(room, Reason):
            continue
        teeth = Teeth.of(broach)
        bearing = bearing_of(broach, teeth, room, case)
        for bushing in tried.bushings:
            if slot_refusal(broach, bushing, case) is not None or bushing.slot_width is None:
                continue
            pair = Pair(broach, bushing, teeth, room, bearing)
            most = most_total_nm(broach, bushing, case)
            problem = problem_of(pair, tried.drawer.totals(bushing.slot_width, most), case)
            if problem.first_lifts_nm[1] >= 0:
                yield pair, problem


def _turned(tried: TrialResult, choice: PressChoice, *, with_shims: bool) -> tuple[Make, ...]:
    """The bushing to turn for the broach that then needs the fewest passes; ``with_shims`` to cut where it must be."""
    case, drawer = tried.case, tried.drawer
    for turn in (bushing_to_turn, bushing_and_shims) if with_shims else (bushing_to_turn,):
        rooms = [(broach, presses_for(broach, choice, case)) for broach in tried.broaches[:_MOST_TRIED]]
        made = [
            turn(broach, Teeth.of(broach), room, drawer, case)
            for broach, room in rooms
            if not isinstance(room, Reason)
        ]
        there = [one for one in made if one is not None]
        if there:
            return min(there, key=lambda one: one.passes).make
    return ()


def _widths(pair: Pair, case: Case) -> tuple[Length, Length]:
    assert pair.bushing.slot_width is not None
    return shim_widths(pair.bushing.slot_width, case)
