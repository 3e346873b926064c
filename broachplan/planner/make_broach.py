"""The broach to look for when the crib has none that cuts this keyway in this hub."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial
from itertools import islice
from math import isqrt

from broachplan.cut.teeth import Teeth
from broachplan.lengths import NM_PER_INCH, NM_PER_MM, Length, System
from broachplan.planner import bits
from broachplan.planner.answer import Make
from broachplan.planner.edges import edges
from broachplan.planner.make_bushing import THINNEST_WEB_NM, THOU_NM, bushing_for
from broachplan.planner.make_shims import shim_list, shim_widths, shims_to_cut
from broachplan.planner.pairs import Pair, ShimDrawer, pair_of, problem_of
from broachplan.planner.passes import PassProblem
from broachplan.planner.presses import PressChoice
from broachplan.planner.rules import Case, chip_factor
from broachplan.planner.search import Search
from broachplan.shown import numbered
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import Broach, Bushing, Shim

# A shop orders in whole figures. 0.025 to 0.075 mm a tooth is usual for broaches of middle size (manufacturing textbook).
RISES = {
    System.INCH: tuple(Length(thou * NM_PER_INCH // 1000) for thou in (2, 3, 1)),
    System.METRIC: tuple(Length(hundredth * NM_PER_MM // 100) for hundredth in (5, 7, 3)),
}
# The coarser step of heights is tried first.
_STEPS = {
    System.INCH: (NM_PER_INCH // 100, NM_PER_INCH // 1000),
    System.METRIC: (NM_PER_MM // 10, NM_PER_MM // 100),
}
_PITCH_STEP = {System.INCH: NM_PER_INCH // 16, System.METRIC: NM_PER_MM}
_MOST_TEETH = 24
_MOST_PLACES, _MOST_HEIGHTS, _MOST_BUSHINGS = 400, 4, 4
# Where only the web and the drawer are looked at; no load is reckoned from it.
_NEW = "new"
_NO_TEETH = Teeth(1, 2, 2, 2, 1, Fraction(1))


@dataclass(frozen=True, slots=True)
class _Design:
    """Heights, teeth and passes of a broach that would serve, and the shims on hand that they use."""

    pair: Pair
    problem: PassProblem
    lifts: list[int]
    used: list[Shim]


def broach_to_find(
    bushings: list[Bushing], choice: PressChoice, drawer: ShimDrawer, case: Case
) -> tuple[Make, ...]:
    """The broach for one of the bushings that fit the bore, in the fewest passes on the shims on hand.

    Where the shims on hand go too far at a step for any usual broach, the shims to cut come with it; where no bushing
    fits, one to turn for it. Nothing where even that does not lead to the reading.
    """
    guided = [one for one in bushings if _width(one, case) is not None][:_MOST_BUSHINGS]
    for find in (_on_hand, _with_shims):
        for bushing in guided:
            if made := find(bushing, choice, drawer, case):
                return tuple(made[1])
    turned = None if guided else _to_turn(case)
    if turned is None:
        return ()
    for find in (_on_hand, _with_shims):
        if made := find(turned, choice, drawer, case):
            design, makes = made
            return (
                *makes,
                bushing_for(
                    design.problem, design.lifts, design.pair.broach, _slot_of(turned), design.used, case
                ),
            )
    return ()


def figures_of_designs(
    bushing: Bushing, choice: PressChoice, drawer: ShimDrawer, case: Case
) -> Iterator[Mapping[str, Length]]:
    """Figures of a broach that would serve in a bushing on the shims on hand: at most one."""
    made = None if _width(bushing, case) is None else _on_hand(bushing, choice, drawer, case)
    if made is not None:
        yield made[1][0].best


def _on_hand(
    bushing: Bushing, choice: PressChoice, drawer: ShimDrawer, case: Case
) -> tuple[_Design, list[Make]] | None:
    design = _design(bushing, choice, drawer, case)
    return None if design is None else (design, [_make(design, case, "on the shims on hand")])


def _width(bushing: Bushing, case: Case) -> Length | None:
    """A keyway width within the limits that this bushing's slot guides, the nominal one if it can be."""
    assert bushing.slot_width is not None
    low = max(case.bounds.width[0], bushing.slot_width - case.settings.slot_clearance)
    high = min(case.bounds.width[1], bushing.slot_width)
    return None if low > high else min(max(case.keyway.width.nominal, low), high)


def _slot_of(bushing: Bushing) -> Length:
    assert bushing.slot_width is not None
    return bushing.slot_width


def _to_turn(case: Case) -> Bushing | None:
    """A bushing for this bore with two fifths of it under the broach; None where there is no room for one."""
    bore, step = case.hub.bore.lower, _STEPS[case.hub.system][0]
    web, slot = Length(bore.nm * 2 // 5 // step * step), case.keyway.width.nominal + Length(THOU_NM)
    if web.nm < THINNEST_WEB_NM or slot >= bore - Length(3 * THOU_NM):
        return None
    return Bushing(tag=_NEW, outside_diameter=bore - Length(THOU_NM), slot_width=slot, web=web)


def _pitch(rise: Fraction, case: Case) -> int | None:
    """The least whole pitch whose gullets hold the chip; None if two teeth are not in the cut with it."""
    step = _PITCH_STEP[case.hub.system]
    square = 9 * chip_factor(case.hub.material, case.settings) * case.hub.cut_length.nm * rise
    pitch = -(-(isqrt(int(square)) + 1) // step) * step
    return pitch if 2 * pitch <= case.hub.cut_length.nm else None


def _bare(
    width: Length, bushing: Bushing, choice: PressChoice, drawer: ShimDrawer, case: Case
) -> PassProblem:
    """The bushing with a broach of which only the width is settled: what it finds in the bore and the drawer."""
    assert bushing.slot_width is not None
    stand_in = Pair(_broach(width), bushing, _NO_TEETH, choice, None)
    most = max(case.keyway.reading.upper.nm - case.hub.bore.lower.nm // 2, 0)
    return problem_of(stand_in, drawer.totals(bushing.slot_width, most), case)


def _broach(width: Length) -> Broach:
    return Broach(tag=_NEW, keyway_width=width, body_width=width)


def _design(bushing: Bushing, choice: PressChoice, drawer: ShimDrawer, case: Case) -> _Design | None:
    """The broach of whole figures that does it in the fewest passes with the stacks on hand; the fewest teeth of those."""
    width = _width(bushing, case)
    assert width is not None
    bare = _bare(width, bushing, choice, drawer, case)
    for step in _STEPS[case.hub.system]:
        found: list[tuple[int, int, Pair, Search]] = []
        for last in islice(_last_heights(bare, step, case), _MOST_HEIGHTS):
            for teeth in _teeth(bare, last, case):
                pair = pair_of(_broach(width), bushing, teeth, choice, case)
                whole = problem_of(pair, bare.totals, case)
                if Search(whole.without_load()).start is None:
                    continue
                search = Search(whole)
                if search.start is not None:
                    found.append((search.start.passes, teeth.rising or 0, pair, search))
        if found:
            *_, pair, search = min(found, key=lambda one: one[:2])
            order = search.best()
            assert order is not None
            used = [shim for place in order.places for shim in bare.totals.stack(place)]
            return _Design(pair, search.problem, list(order.lifts), used)
    return None


def _last_heights(bare: PassProblem, step: int, case: Case) -> Iterator[int]:
    """Whole heights of the last tooth that with some stack on hand read within the limits, the tallest first."""
    target, totals = bare.target, bare.totals
    rise = max(RISES[case.hub.system]).nm
    tallest = bare.section.first_metal_floor_nm + _MOST_TEETH * rise
    least = max(0, target.twice_aim // 2 - tallest)
    seen: set[int] = set()
    for place in islice(bits.members(totals.between(least, totals.most_nm)), _MOST_PLACES):
        bare_reading = bare.web_nm + totals.nm(place)
        last = round(Fraction(target.twice_aim, 2) - bare_reading)
        last = round(last / step) * step
        if last > 0 and last not in seen and target.lower <= bare_reading + last <= target.upper:
            seen.add(last)
            yield last


def _teeth(bare: PassProblem, last: int, case: Case) -> Iterator[Teeth]:
    """Teeth of a whole rise up to ``last`` whose first enters with no shim: as few as can be, and as many as are usual."""
    for rise in RISES[case.hub.system]:
        pitch = _pitch(Fraction(rise.nm), case)
        if pitch is None:
            continue
        enters = bare.section.highest_within_a_rise(Fraction(rise.nm)) - bare.web_nm
        needed = max(2, -(-(last - enters) // rise.nm) + 1)
        for rising in sorted({needed, _MOST_TEETH}) if needed <= _MOST_TEETH else ():
            first = last - (rising - 1) * rise.nm
            if first > 0:
                yield Teeth(first, last, rising, rising, pitch, Fraction(rise.nm))


def _with_shims(
    bushing: Bushing, choice: PressChoice, drawer: ShimDrawer, case: Case
) -> tuple[_Design, list[Make]] | None:
    """The longest usual broach, and the shims that take it to the reading."""
    width = _width(bushing, case)
    assert width is not None
    bare = _bare(width, bushing, choice, drawer, case)
    for step in _STEPS[case.hub.system]:
        first = (bare.section.first_metal_floor_nm - bare.web_nm) // step * step
        for rise in RISES[case.hub.system]:
            pitch, last = _pitch(Fraction(rise.nm), case), first + (_MOST_TEETH - 1) * rise.nm
            if pitch is None or first <= 0:
                continue
            teeth = Teeth(first, last, _MOST_TEETH, _MOST_TEETH, pitch, Fraction(rise.nm))
            pair = pair_of(_broach(width), bushing, teeth, choice, case)
            whole = problem_of(pair, bare.totals, case)
            cut = shims_to_cut(whole)
            if cut is not None:
                lifts = [nm + sum(cut.thicknesses[i] for i in new) for nm, new in cut.passes]
                totals = whole.totals
                known = {nm for nm, _ in cut.passes}
                used = [shim for nm in known for shim in totals.stack(totals.from_nm(nm))]
                design = _Design(pair, whole, lifts, used)
                shims = shim_list(cut, shim_widths(_slot_of(bushing), case), "cut for that broach")
                return design, [_make(design, case, "with the shims below"), *shims]
    return None


def _holds(design: _Design, case: Case, *, width: int, first: int, last: int) -> bool:
    """Whether the design's passes still hold with another width and other heights (nm): chips, geometry and load."""
    if not 0 < first < last:
        return False
    teeth = design.pair.teeth
    assert teeth.rising is not None
    assert teeth.pitch_nm is not None
    rise = Fraction(last - first, teeth.rising - 1)
    chip = case.hub.cut_length.nm * rise * chip_factor(case.hub.material, case.settings)
    if chip > Fraction(teeth.pitch_nm**2, 9):
        return False
    moved = replace(teeth, first_nm=first, last_nm=last, rise=rise)
    pair = pair_of(_broach(Length(width)), design.pair.bushing, moved, design.pair.presses, case)
    return problem_of(pair, design.problem.totals, case).obeyed_by(design.lifts)


def _make(design: _Design, case: Case, shims: str) -> Make:
    teeth, bushing, width = design.pair.teeth, design.pair.bushing, design.pair.broach.keyway_width
    assert bushing.slot_width is not None
    assert width is not None
    assert teeth.pitch_nm is not None
    first, last = teeth.first_nm, teeth.last_nm
    holds = partial(_holds, design, case, width=width.nm, first=first, last=last)
    low, high = case.bounds.width
    span = NM_PER_INCH // 4
    guide = "the bushing below" if bushing.tag == _NEW else f"bushing {bushing.tag}"
    pitch_least = _pitch(teeth.rise, case) or teeth.pitch_nm
    return Make(
        Kind.BROACH,
        {
            "keyway_width": edges(
                width.nm, low.nm, min(high, bushing.slot_width).nm, lambda nm: holds(width=nm)
            ),
            "body_width": (Length(width.nm * 9 // 10), bushing.slot_width),
            "first_tooth_height": edges(first, first - span, last - 1, lambda nm: holds(first=nm)),
            "last_tooth_height": edges(last, first + 1, last + span, lambda nm: holds(last=nm)),
            "tooth_pitch": (Length(pitch_least), Length(case.hub.cut_length.nm // 2)),
        },
        {
            "keyway_width": width,
            "body_width": width,
            "first_tooth_height": Length(first),
            "last_tooth_height": Length(last),
            "tooth_pitch": Length(teeth.pitch_nm),
        },
        f"look for a broach with {teeth.rising} rising teeth for {guide}: {numbered(len(design.lifts), 'pass', 'passes')} {shims}",
        rising_teeth=teeth.rising,
    )
