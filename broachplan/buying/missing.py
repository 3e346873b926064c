"""What a blocked job lacks, as what a seller or the shop can work to.

The limits of a piece that the planner would make hold one order of passes fixed. Here every web and every thickness
counts for which any plan exists, each with the other figures at their best.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import ceil

from broachplan.buying.intervals import Interval, joined
from broachplan.buying.standard_sizes import StandardSize, bores, key_widths, shim_thicknesses
from broachplan.buying.thicknesses import thicknesses_for
from broachplan.buying.webs import webs_for
from broachplan.cut.teeth import Teeth
from broachplan.lengths import Length
from broachplan.planner.advice import advise
from broachplan.planner.answer import Advice, Make, Rule
from broachplan.planner.make_shims import shim_widths
from broachplan.planner.pairs import Pair, bearing_of, exact_peaks, most_total_nm, problem_of
from broachplan.planner.presses import PressChoice, opening_needed, presses_for, throat_needed
from broachplan.planner.rules import Reason, slot_refusal, widest_part
from broachplan.planner.tried import Trial, TrialResult, try_hub
from broachplan.quantities import Force
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import Broach, Bushing

Limits = Mapping[str, tuple[Length | None, Length | None]]


@dataclass(frozen=True, slots=True)
class MissingPiece:
    """A piece with which the job has a plan.

    ``limits`` are those of the rules, None where there is none on that side; ``intervals`` the whole set of a figure, in
    nm. ``beside`` is the broach, or broach and bushing, that it goes with. ``force`` is the least rated force of a
    press. ``make`` is how the shop would make one.
    """

    kind: Kind
    text: str
    limits: Limits = field(default_factory=dict)
    intervals: Mapping[str, tuple[Interval, ...]] = field(default_factory=dict)
    sizes: tuple[StandardSize, ...] = ()
    beside: tuple[str, ...] = ()
    force: Force | None = None
    make: tuple[Make, ...] = ()


@dataclass(frozen=True, slots=True)
class WhatIsMissing:
    """What would make a blocked job possible; ``instead`` is said where no piece can help."""

    pieces: tuple[MissingPiece, ...] = ()
    advice: tuple[Advice, ...] = ()
    make: tuple[Make, ...] = ()
    instead: tuple[str, ...] = ()


def what_is_missing(trial: Trial) -> WhatIsMissing:
    """What a job without a plan lacks; the trial's shelf is the crib on its days.

    Raises
    ------
    InputError : the press named is not in the crib.
    """
    tried = try_hub(trial)
    if tried.hub_refused:
        return WhatIsMissing(instead=tuple(one.reason.text for one in tried.refused))
    advice, make = advise(tried)
    pieces = [*_presses(tried), *_shims(tried, make), *_bushings(tried, make)]
    if not tried.broaches:
        pieces.append(_broach(tried, make))
    there = {piece.kind for piece in pieces}
    # Where no one piece does, those that do together are as the planner makes them.
    pieces += [
        MissingPiece(one.kind, one.text, one.limits, make=(one,)) for one in make if one.kind not in there
    ]
    return WhatIsMissing(tuple(pieces), advice, make, tuple(_instead(tried)))


def _bushings(tried: TrialResult, make: Sequence[Make]) -> Iterator[MissingPiece]:
    """A bushing for each broach that keeps its own rules and has a press."""
    case = tried.case
    for broach, room in _with_press(tried):
        found = webs_for(broach, room, tried.drawer, case)
        if not found:
            continue
        low, high = case.bounds.bushing_od
        yield MissingPiece(
            Kind.BUSHING,
            f"a bushing for broach {broach.tag}",
            {"outside_diameter": (low, high), "slot_width": case.bounds.slot_width(widest_part(broach))},
            {"web": tuple(found)},
            bores(low, high),
            (broach.tag,),
            make=tuple(one for one in make if one.kind is Kind.BUSHING),
        )


def _shims(tried: TrialResult, make: Sequence[Make]) -> Iterator[MissingPiece]:
    """A shim for the slot of each bushing, whatever broach is in it."""
    case = tried.case
    found: dict[str, list[Interval]] = {}
    slots: dict[str, Bushing] = {}
    with_press = list(_with_press(tried))
    for bushing in tried.bushings:
        for broach, room in with_press:
            if slot_refusal(broach, bushing, case) is None and bushing.slot_width is not None:
                teeth = Teeth.of(broach)
                pair = Pair(broach, bushing, teeth, room, bearing_of(broach, teeth, room, case))
                totals = tried.drawer.totals(bushing.slot_width, most_total_nm(broach, bushing, case))
                found.setdefault(bushing.tag, []).extend(thicknesses_for(problem_of(pair, totals, case)))
                slots[bushing.tag] = bushing
    for tag, intervals in found.items():
        slot = slots[tag].slot_width
        if intervals and slot is not None:
            whole = tuple(joined(intervals))
            yield MissingPiece(
                Kind.SHIM,
                f"a shim for the slot of bushing {tag}",
                {"width": shim_widths(slot, case)},
                {"thickness": whole},
                shim_thicknesses(whole),
                (tag,),
                make=tuple(one for one in make if one.kind is Kind.SHIM),
            )


def _with_press(tried: TrialResult) -> Iterator[tuple[Broach, PressChoice]]:
    """The broaches that keep their own rules, each with the presses that have room for it."""
    for broach in tried.broaches if tried.choice is not None else ():
        room = presses_for(broach, tried.choice, tried.case) if tried.choice else None
        if isinstance(room, PressChoice):
            yield broach, room


def _presses(tried: TrialResult) -> Iterator[MissingPiece]:
    """What a press must have for the pair that asks least of it, where only the presses refuse."""
    shelf = tried.asked.shelf
    if not shelf.presses:
        return
    anywhere = try_hub(replace(tried.asked, press=None, shelf=replace(shelf, presses=())))
    needs = []
    for one in anywhere.begun:
        force = 0.0
        if one.search.problem.bearing is not None:
            order = one.search.in_full(one.search.least_peak())
            peaks = exact_peaks(one.search, order.lifts)
            force = max(peaks.low_n / float(tried.case.settings.press_share), peaks.high_n)
        opening = opening_needed(one.pair.broach, tried.case)
        needs.append((force, opening.nm if opening else 0, one.pair.broach.tag, one.pair.bushing.tag))
    if not needs:
        return
    force, opening_nm, broach, bushing = min(needs)
    throat = throat_needed(tried.case)
    limits: dict[str, tuple[Length | None, Length | None]] = {}
    if opening_nm:
        limits["opening"] = Length(opening_nm), None
    if throat is not None:
        limits["throat"] = throat, None
    yield MissingPiece(
        Kind.PRESS,
        f"a press for broach {broach} in bushing {bushing}",
        limits,
        beside=(broach, bushing),
        force=Force(ceil(force * 1000)) if force else None,
    )


def _broach(tried: TrialResult, make: Sequence[Make]) -> MissingPiece:
    low, high = tried.case.bounds.width
    return MissingPiece(
        Kind.BROACH,
        "a broach for this keyway",
        {"keyway_width": (low, high)},
        sizes=key_widths(low, high),
        make=tuple(one for one in make if one.kind is Kind.BROACH),
    )


def _instead(tried: TrialResult) -> Iterator[str]:
    """What can be done where the drawing, and not a piece, is what prevents it."""
    refused: list[Reason] = [one.reason for one in tried.refused]
    if not tried.broaches and any(one.rule is Rule.WIDTH for one in refused):
        yield "another fit class on the drawing takes another broach; or slot, shape or erode the keyway"
