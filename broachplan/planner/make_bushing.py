"""The bushing to turn and slot when none in the crib suits: what a shop does instead of waiting a week."""

from __future__ import annotations

from dataclasses import dataclass, replace

from broachplan.cut.teeth import Teeth
from broachplan.lengths import NM_PER_INCH, Length
from broachplan.planner import bits
from broachplan.planner.answer import Make
from broachplan.planner.edges import edges
from broachplan.planner.make_shims import shim_list, shim_widths, shims_to_cut
from broachplan.planner.pairs import Drawer, Pair, problem_of
from broachplan.planner.presses import Choice
from broachplan.planner.rules import Case, widest_part
from broachplan.planner.search import PassProblem, Search
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import Broach, Bushing, Shim

_THOU = NM_PER_INCH // 1000
# A thinner back springs under load: shop practice, no source.
_THINNEST_WEB_NM = NM_PER_INCH // 16
_MOST_TRIED = 40


@dataclass(frozen=True, slots=True)
class Turned:
    """A bushing that would do, its passes, and what to make."""

    passes: int
    make: tuple[Make, ...]


def bushing_to_turn(
    broach: Broach, teeth: Teeth, choice: Choice, drawer: Drawer, case: Case
) -> Turned | None:
    """The bushing for a broach whose web hits the aim in the fewest passes on the shims on hand; None if no web does."""
    slot = _slot(broach, case)
    if not _goes_into_bore(slot, case):
        return None
    problem = _with_web(broach, teeth, choice, slot, _THINNEST_WEB_NM, drawer, case)
    best: tuple[tuple[int, int], PassProblem, list[int]] | None = None
    for web in _webs(problem):
        tried = replace(problem, web_nm=web)
        passes = Search(tried.without_load()).fewest_passes()
        if passes is None or (best is not None and passes >= best[0][0]):
            continue
        order = Search(tried).best()
        if order is not None and (best is None or (len(order.totals), -web) < best[0]):
            lifts = [total * problem.totals.unit for total in order.totals]
            best = (len(lifts), -web), tried, lifts
    if best is None:
        return None
    _, found, lifts = best
    used = [shim for lift in lifts for shim in _stack_of(found, lift)]
    text = f"turn and slot a bushing for broach {broach.tag}: {len(lifts)} passes on the shims on hand"
    return Turned(len(lifts), (_bushing(found, lifts, broach, slot, used, case, text),))


def bushing_and_shims(
    broach: Broach, teeth: Teeth, choice: Choice, drawer: Drawer, case: Case
) -> Turned | None:
    """A bushing that the broach just enters, with the shims to cut for it; None if even that does not lead there."""
    slot = _slot(broach, case)
    if not _goes_into_bore(slot, case):
        return None
    problem = _with_web(broach, teeth, choice, slot, _THINNEST_WEB_NM, drawer, case)
    section = problem.section
    enters = section.highest_within_a_rise(teeth.rise) - teeth.first_nm
    web = min(enters - int(teeth.rise) // 2, problem.target.twice_aim // 2 - teeth.last_nm)
    if web < _THINNEST_WEB_NM:
        return None
    problem = replace(problem, web_nm=web)
    cut = shims_to_cut(problem, case.settings.stack_most)
    if cut is None:
        return None
    lifts = [known + sum(cut.thicknesses[i] for i in new) for known, new in cut.passes]
    used = [s for known, _ in cut.passes for s in _stack_of(problem, known)]
    text = f"turn and slot a bushing for broach {broach.tag}, with the shims below: then {len(lifts)} passes"
    make = _bushing(problem, lifts, broach, slot, used, case, text)
    shims = shim_list(cut, shim_widths(slot, case), f"cut for broach {broach.tag} in that bushing")
    return Turned(len(lifts), (make, *shims))


def _stack_of(problem: PassProblem, lift: int) -> tuple[Shim, ...]:
    return problem.totals.stack(lift // problem.totals.unit)


def _slot(broach: Broach, case: Case) -> Length:
    return widest_part(broach) + Length(min(_THOU, case.settings.slot_clearance.nm // 2))


def _goes_into_bore(slot: Length, case: Case) -> bool:
    """Whether the smallest bushing that may be turned is wider than its slot and its thinnest web."""
    return max(slot.nm, _THINNEST_WEB_NM) < case.hub.bore.lower.nm - 3 * _THOU


def _with_web(
    broach: Broach, teeth: Teeth, choice: Choice, slot: Length, web: int, drawer: Drawer, case: Case
) -> PassProblem:
    bushing = Bushing(tag="new", outside_diameter=case.hub.bore.lower, slot_width=slot, web=Length(web))
    most = max(case.keyway.reading.upper.nm - web - teeth.last_nm, 0)
    return problem_of(Pair(broach, bushing, teeth, choice), drawer.totals(slot, most), case)


def _webs(problem: PassProblem) -> list[int]:
    """Webs that put the last reading on the aim with some stack, the thickest that lets the broach enter first."""
    teeth, totals = problem.teeth, problem.totals
    without = problem.target.twice_aim // 2 - teeth.last_nm
    enters = problem.section.highest_within_a_rise(teeth.rise) - teeth.first_nm
    least = max(0, -(-(without - enters) // totals.unit))
    room = (without - _THINNEST_WEB_NM) // totals.unit
    choice = totals.every & bits.between(least, min(room, totals.most))
    webs = []
    for total in bits.members(choice):
        webs.append(without - total * totals.unit)
        if len(webs) == _MOST_TRIED:
            break
    return webs


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
        _THINNEST_WEB_NM,
        bore.nm - 4 * _THOU,
        lambda nm: replace(problem, web_nm=nm).obeyed_by(lifts),
    )
    smallest = max(bore - Length(3 * _THOU), case.bounds.bushing_od[0])
    largest = max(bore - Length(_THOU // 2), smallest)
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
            "outside_diameter": max(bore - Length(_THOU), smallest),
            "slot_width": slot,
            "web": Length(problem.web_nm),
            "length": length,
            "collar_height": Length(NM_PER_INCH // 8),
        },
        text,
    )
