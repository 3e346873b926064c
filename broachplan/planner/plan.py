"""The plan itself: every broach in every bushing, the best passes of each pair, and why the rest was refused."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from broachplan.crib.shelf import Shelf
from broachplan.cut.budget import band
from broachplan.cut.teeth import bites
from broachplan.errors import InputError
from broachplan.keyways.keyway import Keyway
from broachplan.lengths import Length
from broachplan.planner.advice import advise
from broachplan.planner.answer import Answer, Nearest, Pass, Plan, Refusal, Rule
from broachplan.planner.cautions import Draft, cautions_of
from broachplan.planner.make import shim_that_saves_a_pass
from broachplan.planner.pairs import Found
from broachplan.planner.ranking import best_found
from broachplan.planner.rules import Case
from broachplan.planner.tried import Asked, Refused, try_hub
from broachplan.settings import Settings
from broachplan.tooling.hub import Hub

NEAREST_SHOWN = 3
# A machinist picks among the first few; the others would only take time.
MOST_PLANS = 12


def plan(
    hub: Hub,
    keyway: Keyway,
    shelf: Shelf,
    settings: Settings,
    *,
    press: str | None = None,
    why: str | None = None,
    most_plans: int | None = MOST_PLANS,
) -> Answer:
    """Plan one hub from what lies on the shelf.

    Parameters
    ----------
    press : the tag of the press to use; None leaves the choice to the planner.
    why : ``all`` tells every refusal, a tag those of one piece; otherwise the three nearest by rule.
    most_plans : how many pairs are worked out in full, 1 or more; the others are counted. None: all of them.

    Returns
    -------
    Answer : one plan, its best, for each of the best broach-and-bushing pairs, best first, and how many more pairs have
        one. The same shelf in any order gives the same answer.

    Raises
    ------
    InputError : ``press`` or ``why`` names no piece of the crib.
    """
    if why and why != "all" and why not in _tags(shelf):
        raise InputError("why", "write all, or the tag of a piece in the crib", read=why)
    tried = try_hub(Asked(hub, keyway, shelf, settings, press), None if why else NEAREST_SHOWN)
    case, refusals = tried.case, _told(tried.refused, shelf, why)
    if tried.hub_refused:
        return Answer(hub, keyway, settings, refusals=refusals, hub_refused=True)
    notes = (*_of_piece(why, shelf, case), *_of_hub(case))
    if not tried.begun:
        advice, make = advise(tried)
        notes = (*_empty(shelf), *notes, *_not_given(case))
        return Answer(
            hub, keyway, settings, (), refusals, advice, make, notes, press_refused=tried.press_refused
        )
    found = best_found(tried.begun, most_plans, case)
    plans = [_plan_of(one, case) for one in found]
    plans[0] = replace(plans[0], tip=shim_that_saves_a_pass(found[0], case))
    more = len(tried.begun) - len(plans)
    return Answer(hub, keyway, settings, tuple(plans), refusals, notes=notes, more_pairs=more)


def _tags(shelf: Shelf) -> set[str]:
    return {
        piece.tag for group in (shelf.broaches, shelf.bushings, shelf.shims, shelf.presses) for piece in group
    }


def _plan_of(found: Found, case: Case) -> Plan:
    search, order, settings = found.search, found.order, case.settings
    passes = tuple(_passes(found, case))
    reading = Length(search.reading(order.lifts[-1]))
    bushing = found.pair.bushing
    assert bushing.outside_diameter is not None
    low, high = band(
        reading, case.hub.bore.upper - bushing.outside_diameter, len(passes[-1].stack), settings.joint_film
    )
    made = Plan(
        broach=found.pair.broach,
        bushing=bushing,
        press=found.press,
        passes=passes,
        reading=reading,
        reading_low=low,
        reading_high=high,
        cautions=cautions_of(Draft(found, passes, high, case)),
    )
    return replace(made, homes=_homes(made, case))


def _homes(made: Plan, case: Case) -> tuple[tuple[str, str], ...]:
    tags = (*made.taken, made.press.tag) if made.press else made.taken
    return tuple((tag, case.homes[tag]) for tag in tags if tag in case.homes)


def _passes(found: Found, case: Case) -> Iterable[Pass]:
    search, teeth = found.search, found.pair.teeth
    problem = search.problem
    in_cut = teeth.in_cut(case.hub.cut_length)
    before: int | None = None
    for number, (place, lift) in enumerate(zip(found.order.places, found.order.lifts, strict=True), 1):
        surface = None if before is None else search.reading(before)
        load = None if problem.bearing is None else search.load_of(before, lift)
        taken = bites(problem.section, teeth, problem.web_nm + lift, surface)
        yield Pass(
            number=number,
            stack=problem.totals.stack(place),
            shims=Length(lift),
            reading=Length(search.reading(lift)),
            first_bite=taken.first,
            largest_bite=taken.largest,
            teeth_cutting=taken.cutting,
            teeth_in_cut=in_cut,
            force_low=None if load is None else load.low_peak_n,
            force_high=None if load is None else load.peak_n,
        )
        before = lift


def _told(refused: Iterable[Refused], shelf: Shelf, why: str | None) -> tuple[Refusal, ...]:
    """Refusals by rule in the order of the rules, nearest first."""
    by_rule: dict[Rule, list[Refused]] = {}
    for one in refused:
        by_rule.setdefault(one.reason.rule, []).append(one)
    told = []
    for rule in Rule:
        of_rule = by_rule.get(rule, [])
        of_rule.sort(key=lambda one: (one.reason.short_by, one.broach or "", one.bushing or ""))
        unread = _unread(rule, shelf)
        shown = (
            of_rule
            if why == "all"
            else [one for one in of_rule if why in (one.broach, one.bushing)]
            if why
            else of_rule[:NEAREST_SHOWN]
        )
        if of_rule:
            nearest = tuple(Nearest(o.broach, o.bushing, o.reason.text, o.reason.short_by) for o in shown)
            told.append(Refusal(rule, len(of_rule) + unread, nearest))
    return tuple(told)


def _unread(rule: Rule, shelf: Shelf) -> int:
    """Pieces that a bound kept from being read beyond the nearest ones."""
    if rule is Rule.WIDTH:
        return shelf.broaches_beyond.count - len(shelf.broaches_beyond.nearest_broaches)
    if rule is Rule.BUSHING_FIT:
        return shelf.bushings_beyond.count - len(shelf.bushings_beyond.nearest_bushings)
    return 0


def _of_piece(why: str | None, shelf: Shelf, case: Case) -> tuple[str, ...]:
    """What keeps a shim or a press out, for one asked about by its tag: no rule counts it against a pair."""
    for piece in (*shelf.shims, *shelf.presses):
        if piece.tag == why:
            missing = f"not measured: {', '.join(piece.missing)}" if piece.missing else None
            state = case.off.get(piece.tag) or missing or "on the shelf, and used wherever it fits"
            return (f"{piece.kind} {piece.tag}: {state}",)
    return ()


def _empty(shelf: Shelf) -> tuple[str, ...]:
    """Kinds of piece without which nothing can be planned and of which the crib has none."""
    there = {
        "broaches": len(shelf.broaches) + shelf.broaches_beyond.count,
        "bushings": len(shelf.bushings) + shelf.bushings_beyond.count,
    }
    return tuple(f"the crib has no {kind} yet" for kind, amount in there.items() if not amount)


def _of_hub(case: Case) -> tuple[str, ...]:
    hub, notes = case.hub, []
    if hub.material_remark is not None:
        notes.append(hub.material_remark)
    if not hub.bore_toleranced:
        notes.append("the bore was given without limits and is taken as exact")
    if case.settings.wall_least is None:
        notes.append("the shop has set no limit for the wall over the keyway: not checked")
    return tuple(notes)


def _not_given(case: Case) -> Iterable[str]:
    """What else of a hub was not given, where there is no plan whose cautions tell it."""
    if case.hub.hardness is None:
        yield "no hardness given: not checked against the shop's limit"
    if case.hub.outside_diameter is None:
        yield "no hub outside diameter given: throat and wall over the keyway are not checked"
