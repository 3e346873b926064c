"""The bushing to turn and slot when none in the crib suits: what a shop does instead of waiting a week."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import islice

from broachplan.cut.teeth import Teeth
from broachplan.lengths import NM_PER_INCH, Length
from broachplan.planner import bits
from broachplan.planner.answer import Make
from broachplan.planner.edges import edges
from broachplan.planner.make_shims import shim_list, shim_widths, shims_to_cut
from broachplan.planner.pairs import ShimDrawer, pair_of, problem_of
from broachplan.planner.passes import PassProblem
from broachplan.planner.presses import PressChoice
from broachplan.planner.rules import Case, widest_part
from broachplan.planner.search import PassOrder, Search
from broachplan.shown import numbered
from broachplan.standards.constants import THINNEST_WEB
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import Broach, Bushing, Shim

THOU_NM = NM_PER_INCH // 1000
THINNEST_WEB_NM = int(THINNEST_WEB.value)
_MOST_TRIED = 40


@dataclass(frozen=True, slots=True)
class Turned:
    """A bushing that would serve, its passes, and what to make."""

    passes: int
    make: tuple[Make, ...]


def bushing_to_turn(
    broach: Broach,
    teeth: Teeth,
    choice: PressChoice,
    drawer: ShimDrawer,
    case: Case,
    slot: Length | None = None,
) -> Turned | None:
    """The bushing for a broach whose web hits the aim in the fewest passes on the shims on hand; None if no web does.

    The slot is the one given, else a thou wider than the broach, or as wide as the rule allows where only shims on hand
    for that fit.
    """
    slots = [one for one in (_slots(broach, case) if slot is None else (slot,)) if _goes_into_bore(one, case)]
    found = [_best_web(broach, teeth, choice, one, drawer, case) for one in slots]
    there = [one for one in found if one is not None]
    return min(there, key=lambda one: one.passes, default=None)


def _best_web(
    broach: Broach, teeth: Teeth, choice: PressChoice, slot: Length, drawer: ShimDrawer, case: Case
) -> Turned | None:
    problem = _with_web(broach, teeth, choice, slot, THINNEST_WEB_NM, drawer, case)
    best: tuple[PassProblem, PassOrder] | None = None
    for web in _webs(problem):
        tried = replace(problem, web_nm=web)
        passes = Search(tried.without_load()).fewest_passes()
        if passes is None or (best is not None and passes >= len(best[1].lifts)):
            continue
        order = Search(tried).best()
        if order is not None and (best is None or len(order.lifts) < len(best[1].lifts)):
            best = tried, order
    if best is None:
        return None
    found, order = best
    used = [shim for place in order.places for shim in found.totals.stack(place)]
    text = f"turn and slot a bushing for broach {broach.tag}: {numbered(len(order.lifts), 'pass', 'passes')} on the shims on hand"
    make = _bushing(found, list(order.lifts), broach, slot, used, case, text)
    return Turned(len(order.lifts), (make,))


def bushing_and_shims(
    broach: Broach, teeth: Teeth, choice: PressChoice, drawer: ShimDrawer, case: Case
) -> Turned | None:
    """A bushing that the broach just enters, with the shims to cut for it; None if even that does not lead there."""
    slot = _slots(broach, case)[0]
    if not _goes_into_bore(slot, case):
        return None
    problem = _with_web(broach, teeth, choice, slot, THINNEST_WEB_NM, drawer, case)
    section = problem.section
    enters = section.highest_within_a_rise(teeth.rise) - teeth.first_nm
    web = min(enters - int(teeth.rise) // 2, problem.target.twice_aim // 2 - teeth.last_nm)
    if web < THINNEST_WEB_NM:
        return None
    problem = replace(problem, web_nm=web)
    cut = shims_to_cut(problem)
    if cut is None:
        return None
    lifts = [known + sum(cut.thicknesses[i] for i in new) for known, new in cut.passes]
    totals = problem.totals
    used = [shim for known, _ in cut.passes for shim in totals.stack(totals.from_nm(known))]
    text = f"turn and slot a bushing for broach {broach.tag}, with the shims below: then {numbered(len(lifts), 'pass', 'passes')}"
    make = _bushing(problem, lifts, broach, slot, used, case, text)
    shims = shim_list(cut, shim_widths(slot, case), f"cut for broach {broach.tag} in that bushing")
    return Turned(len(lifts), (make, *shims))


def bushing_for(
    problem: PassProblem, lifts: list[int], broach: Broach, slot: Length, used: list[Shim], case: Case
) -> Make:
    """The bushing to turn for a broach that is still to be found, over the shims on hand that are ``used`` in it."""
    return _bushing(problem, lifts, broach, slot, used, case, "turn and slot a bushing for that broach")


def _slots(broach: Broach, case: Case) -> tuple[Length, Length]:
    """The slot to cut: a thou wider than the broach, or as wide as the rule allows."""
    most = case.settings.slot_clearance
    return widest_part(broach) + Length(min(THOU_NM, most.nm // 2)), widest_part(broach) + most


def _goes_into_bore(slot: Length, case: Case) -> bool:
    """Whether a bushing for this bore can be turned around the slot and the thinnest web at all."""
    return max(slot, Length(THINNEST_WEB_NM)) < case.hub.bore.lower - Length(3 * THOU_NM)


def _with_web(
    broach: Broach, teeth: Teeth, choice: PressChoice, slot: Length, web: int, drawer: ShimDrawer, case: Case
) -> PassProblem:
    bushing = Bushing(tag="new", outside_diameter=case.hub.bore.lower, slot_width=slot, web=Length(web))
    most = max(case.keyway.reading.upper.nm - web - teeth.last_nm, 0)
    return problem_of(pair_of(broach, bushing, teeth, choice, case), drawer.totals(slot, most), case)


def _webs(problem: PassProblem) -> list[int]:
    """Webs that put the last reading on the aim with some stack, the thickest that lets the broach enter first."""
    teeth, totals = problem.teeth, problem.totals
    without = problem.target.twice_aim // 2 - teeth.last_nm
    enters = problem.section.highest_within_a_rise(teeth.rise) - teeth.first_nm
    choice = totals.between(max(0, without - enters), without - THINNEST_WEB_NM)
    return [without - totals.nm(place) for place in islice(bits.members(choice), _MOST_TRIED)]


def _bushing(
    problem: PassProblem,
    lifts: list[int],
    broach: Broach,
    slot: Length,
    used: list[Shim],
    case: Case,
    text: str,
) -> Make:
    bore, widest, settings = case.hub.bore.lower, widest_part(broach), case.settings
    widths = [shim.width for shim in used if shim.width is not None]
    web = edges(
        problem.web_nm,
        THINNEST_WEB_NM,
        bore.nm - 4 * THOU_NM,
        lambda nm: replace(problem, web_nm=nm).obeyed_by(lifts),
    )
    smallest = max(bore - Length(3 * THOU_NM), case.bounds.bushing_od[0])
    largest = max(bore - Length(THOU_NM // 2), smallest)
    length = case.hub.cut_length
    return Make(
        Kind.BUSHING,
        {
            "outside_diameter": (smallest, largest),
            "slot_width": (
                max([widest, *widths]),
                min([widest + settings.slot_clearance, *(w + settings.shim_clearance for w in widths)]),
            ),
            "web": web,
            "length": (length, length * 2),
            "collar_height": (Length(NM_PER_INCH // 16), Length(NM_PER_INCH // 4)),
        },
        {
            "outside_diameter": max(bore - Length(THOU_NM), smallest),
            "slot_width": slot,
            "web": Length(problem.web_nm),
            "length": length,
            "collar_height": Length(NM_PER_INCH // 8),
        },
        text,
    )
