"""The broach to look for when the crib has none that cuts this keyway in this hub."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial
from itertools import islice
from math import isqrt

from broachplan.cut.teeth import Teeth
from broachplan.lengths import NM_PER_INCH, Length
from broachplan.planner import bits
from broachplan.planner.answer import Make
from broachplan.planner.edges import edges
from broachplan.planner.make_shims import shim_list, shim_widths, shims_to_cut
from broachplan.planner.pairs import Drawer, Pair, pair_of, problem_of
from broachplan.planner.passes import PassProblem
from broachplan.planner.presses import Choice
from broachplan.planner.rules import Case, chip_factor
from broachplan.planner.search import Search
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import Broach, Bushing

# 0.025 to 0.075 mm a tooth is usual for broaches of middle size (manufacturing textbook).
_RISE_NM = 50_000
_MOST_TEETH = 24
_MOST_TRIED = 40
# Where only the web and the drawer are looked at; no load is reckoned from it.
_NO_TEETH = Teeth(1, 2, 2, 2, 1, Fraction(1))


@dataclass(frozen=True, slots=True)
class _Design:
    """Heights, teeth and passes of a broach that would do."""

    pair: Pair
    problem: PassProblem
    lifts: list[int]


def broach_to_find(bushings: list[Bushing], choice: Choice, drawer: Drawer, case: Case) -> tuple[Make, ...]:
    """The broach for one of the bushings that fit the bore, in the fewest passes on the shims on hand.

    Where the shims on hand go too far at a step for any usual broach, the shims to cut come with it; nothing where
    even that does not lead to the reading.
    """
    guided = [(bushing, width) for bushing in bushings if (width := _width(bushing, case)) is not None]
    for bushing, width in guided:
        designs = _designs(width, bushing, choice, drawer, case)
        if designs:
            best = min(designs, key=lambda design: (len(design.lifts), design.problem.teeth.rising))
            return (_make(best, width, bushing, case, "on the shims on hand"),)
    for bushing, width in guided:
        made = _with_shims(width, bushing, choice, drawer, case)
        if made:
            return made
    return ()


def _width(bushing: Bushing, case: Case) -> Length | None:
    """A keyway width within the limits that this bushing's slot guides, the middle if it can be."""
    assert bushing.slot_width is not None
    low = max(case.bounds.width[0], bushing.slot_width - case.settings.slot_clearance)
    high = min(case.bounds.width[1], bushing.slot_width)
    if low > high:
        return None
    middle = Length((case.bounds.width[0].nm + case.bounds.width[1].nm) // 2)
    return min(max(middle, low), high)


def _pitch(rise: Fraction, case: Case) -> int | None:
    """The pitch whose gullets just hold the chip with a tenth to spare; None if two teeth are not in the cut with it."""
    factor = chip_factor(case.hub.material, case.settings)
    square = 9 * factor * case.hub.cut_length.nm * rise
    pitch = (isqrt(int(square)) + 1) * 11 // 10
    return pitch if 2 * pitch <= case.hub.cut_length.nm else None


def _bare(width: Length, bushing: Bushing, choice: Choice, drawer: Drawer, case: Case) -> PassProblem:
    """The bushing with a broach of which only the width is settled: what it finds in the bore and the drawer."""
    assert bushing.slot_width is not None
    stand_in = Pair(_broach(width), bushing, _NO_TEETH, choice, None)
    most = max(case.keyway.reading.upper.nm - case.hub.bore.lower.nm // 2, 0)
    return problem_of(stand_in, drawer.totals(bushing.slot_width, most), case)


def _broach(width: Length) -> Broach:
    return Broach(tag="new", keyway_width=width, body_width=width)


def _designs(width: Length, bushing: Bushing, choice: Choice, drawer: Drawer, case: Case) -> list[_Design]:
    """Broaches whose first tooth just touches the corners and that end on the aim with some stack on hand."""
    bare = _bare(width, bushing, choice, drawer, case)
    first = bare.section.first_metal_floor_nm - bare.web_nm
    designs = []
    for place in islice(bits.members(bare.totals.every), _MOST_TRIED):
        last = bare.target.twice_aim // 2 - bare.web_nm - bare.totals.nm(place)
        if first <= 0 or last <= first:
            break
        teeth = _teeth(first, last, case)
        if teeth is None:
            continue
        pair = pair_of(_broach(width), bushing, teeth, choice, case)
        whole = problem_of(pair, bare.totals, case)
        order = Search(whole).best()
        if order is not None:
            designs.append(_Design(pair, whole, list(order.lifts)))
    return designs


def _with_shims(
    width: Length, bushing: Bushing, choice: Choice, drawer: Drawer, case: Case
) -> tuple[Make, ...]:
    """The longest usual broach, and the shims that take it to the reading."""
    bare = _bare(width, bushing, choice, drawer, case)
    first = bare.section.first_metal_floor_nm - bare.web_nm
    teeth = _teeth(first, first + (_MOST_TEETH - 1) * _RISE_NM, case) if first > 0 else None
    if teeth is None or bushing.slot_width is None:
        return ()
    pair = pair_of(_broach(width), bushing, teeth, choice, case)
    whole = problem_of(pair, bare.totals, case)
    cut = shims_to_cut(whole)
    if cut is None:
        return ()
    lifts = [known + sum(cut.thicknesses[i] for i in new) for known, new in cut.passes]
    broach = _make(_Design(pair, whole, lifts), width, bushing, case, "with the shims below")
    return (broach, *shim_list(cut, shim_widths(bushing.slot_width, case), "cut for that broach"))


def _teeth(first: int, last: int, case: Case) -> Teeth | None:
    """Teeth from ``first`` to ``last`` at a usual rise, with a pitch that has room for the chip; None if too many."""
    rising = max(2, -(-(last - first) // _RISE_NM) + 1)
    rise = Fraction(last - first, rising - 1)
    pitch = _pitch(rise, case)
    if rising > _MOST_TEETH or pitch is None:
        return None
    return Teeth(first, last, rising, rising, pitch, rise)


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


def _make(design: _Design, width: Length, bushing: Bushing, case: Case, shims: str) -> Make:
    assert bushing.slot_width is not None
    teeth = design.pair.teeth
    assert teeth.pitch_nm is not None
    first, last = teeth.first_nm, teeth.last_nm
    holds = partial(_holds, design, case, width=width.nm, first=first, last=last)
    low, high = case.bounds.width
    span = NM_PER_INCH // 4
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
        f"look for a broach with {teeth.rising} rising teeth for bushing {bushing.tag}: {len(design.lifts)} passes {shims}",
        rising_teeth=teeth.rising,
    )
