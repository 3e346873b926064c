"""The plan itself: every broach in every bushing, the best passes of each pair, and why the rest was refused."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from broachplan.crib.shelf import Shelf
from broachplan.errors import InputError
from broachplan.keyways.keyway import Keyway
from broachplan.planner.advice import advise
from broachplan.planner.answer import Answer, Nearest, Refusal, Rule
from broachplan.planner.make import shim_that_saves_a_pass
from broachplan.planner.ranking import best_found
from broachplan.planner.rules import Case
from broachplan.planner.starting_point import BARE_BORE, StartingPoint
from broachplan.planner.tried import Refused, Trial, try_hub
from broachplan.planner.worked_out import plan_of
from broachplan.settings import Settings
from broachplan.tooling.figures import Kind
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
    start: StartingPoint = BARE_BORE,
) -> Answer:
    """Plan one hub from what lies on the shelf.

    Parameters
    ----------
    press : the tag of the press to use; None leaves the choice to the planner.
    why : ``all`` gives every refusal, a tag those of one piece; otherwise the three nearest by rule.
    most_plans : how many pairs are worked out in full, 1 or more; the others are counted. None: all of them.
    start : where the passes begin; an offset belongs to one pair, so that the shelf then holds one broach and one bushing.

    Returns
    -------
    Answer : one plan, its best, for each of the best broach-and-bushing pairs, best first, and how many more pairs have
        one. The same shelf in any order gives the same answer.

    Raises
    ------
    InputError : ``press`` or ``why`` names no piece of the crib.
    """
    check_why(why, shelf)
    tried = try_hub(Trial(hub, keyway, shelf, settings, press, start), None if why else NEAREST_SHOWN)
    case, refusals = tried.case, _by_rule(tried.refused, shelf, why)
    if tried.hub_refused:
        return Answer(hub, keyway, settings, refusals=refusals, hub_refused=True)
    notes = (*_of_piece(why, shelf, case), *hub_notes(case))
    if not tried.begun:
        advice, make = advise(tried)
        lacks = _empty(shelf)
        notes = (*(f"the crib has no {kind.plural} yet" for kind in lacks), *notes, *_not_given(case))
        return Answer(
            *(hub, keyway, settings, (), refusals, advice, make, notes),
            press_refused=tried.press_refused,
            lacks=lacks,
        )
    found = best_found(tried.begun, most_plans, case)
    plans = [plan_of(one, case) for one in found]
    plans[0] = replace(plans[0], tip=shim_that_saves_a_pass(found[0], case))
    more = len(tried.begun) - len(plans)
    return Answer(hub, keyway, settings, tuple(plans), refusals, notes=notes, more_pairs=more)


def check_why(why: str | None, shelf: Shelf) -> None:
    """Refuse a ``why`` that is neither ``all`` nor the tag of a piece that the plan looks at."""
    if why and why != "all" and why not in _tags(shelf):
        raise InputError("why", "write all, or the tag of a piece in the crib", read=why)


def _tags(shelf: Shelf) -> set[str]:
    return {
        piece.tag for group in (shelf.broaches, shelf.bushings, shelf.shims, shelf.presses) for piece in group
    }


def _by_rule(refused: Iterable[Refused], shelf: Shelf, why: str | None) -> tuple[Refusal, ...]:
    """Refusals by rule in the order of the rules, nearest first."""
    by_rule: dict[Rule, list[Refused]] = {}
    for one in refused:
        by_rule.setdefault(one.reason.rule, []).append(one)
    found = []
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
            found.append(Refusal(rule, len(of_rule) + unread, nearest))
    return tuple(found)


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


def _empty(shelf: Shelf) -> tuple[Kind, ...]:
    """Kinds of piece without which nothing can be planned and of which the crib has none."""
    there = {
        Kind.BROACH: len(shelf.broaches) + shelf.broaches_beyond.count,
        Kind.BUSHING: len(shelf.bushings) + shelf.bushings_beyond.count,
    }
    return tuple(kind for kind, amount in there.items() if not amount)


def hub_notes(case: Case) -> tuple[str, ...]:
    """What was taken of the hub because it was given by another name, or not given."""
    hub, notes = case.hub, []
    if hub.material_remark is not None:
        notes.append(hub.material_remark)
    if not hub.bore_toleranced:
        notes.append("the bore was given without limits and is taken as exact")
    if case.settings.wall_least is None:
        notes.append("the shop has set no limit for the wall over the keyway: not checked")
    return tuple(notes)


def _not_given(case: Case) -> Iterable[str]:
    """What else of a hub was not given, where there is no plan whose cautions say it."""
    if case.hub.hardness is None:
        yield "no hardness given: not checked against the shop's limit"
    if case.hub.outside_diameter is None:
        yield "no hub outside diameter given: throat and wall over the keyway are not checked"
