"""A hub tried on a shelf: which pieces keep their own rules, which pairs have a plan, and why the others have none."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from broachplan.crib.shelf import Shelf
from broachplan.cut.teeth import Teeth
from broachplan.keyways.keyway import Keyway
from broachplan.planner.bounds import bounds_of
from broachplan.planner.overload import overload_reasons
from broachplan.planner.pairs import BegunPair, Overloaded, Pair, ShimDrawer, bearing_of, begin
from broachplan.planner.presses import PressChoice, presses_asked, presses_for
from broachplan.planner.rules import (
    Case,
    Reason,
    broach_refusal,
    bushing_refusal,
    hub_refusals,
    slot_refusal,
)
from broachplan.planner.starting_point import BARE_BORE, StartingPoint
from broachplan.settings import Settings
from broachplan.tooling.hub import Hub
from broachplan.tooling.pieces import Broach, Bushing


@dataclass(frozen=True, slots=True)
class Refused:
    """Why a broach, a bushing or a pair is out; a side that played no part is None."""

    reason: Reason
    broach: str | None = None
    bushing: str | None = None


@dataclass(frozen=True, slots=True)
class Trial:
    """What is tried: a hub and its keyway on a shelf under a shop's settings; ``press`` names one, None any.

    ``start`` is where the passes begin.
    """

    hub: Hub
    keyway: Keyway
    shelf: Shelf
    settings: Settings
    press: str | None = None
    start: StartingPoint = BARE_BORE


@dataclass(slots=True)
class TrialResult:
    """What came of it. ``broaches`` and ``bushings`` keep their own rules; ``begun`` are the pairs that have a plan.

    ``choice`` is None where the hub is refused, or no press may be used.
    """

    asked: Trial
    case: Case
    drawer: ShimDrawer
    choice: PressChoice | None = None
    broaches: list[Broach] = field(default_factory=list)
    bushings: list[Bushing] = field(default_factory=list)
    begun: list[BegunPair] = field(default_factory=list)
    refused: list[Refused] = field(default_factory=list)
    hub_refused: bool = False
    press_refused: str = ""


def case_of(asked: Trial) -> Case:
    """What the rules look at for what is tried."""
    hub, shelf, settings = asked.hub, asked.shelf, asked.settings
    bounds = bounds_of(asked.keyway, hub.bore.lower, settings)
    return Case(
        hub,
        asked.keyway,
        bounds,
        settings,
        shelf.off,
        shelf.due,
        shelf.homes,
        asked.start,
        shelf.awaited,
        shelf.drives,
    )


def try_hub(asked: Trial, most_shown: int | None = 0) -> TrialResult:
    """Try a hub; of the pairs that press or column refuse, the ``most_shown`` nearest (None: all) get their words.

    Raises
    ------
    InputError : the press named is not in the crib.
    """
    shelf, case = asked.shelf, case_of(asked)
    tried = TrialResult(asked, case, ShimDrawer(shelf.shims, case))
    choice = presses_asked(shelf.presses, asked.press, case)
    of_hub = hub_refusals(case)
    if of_hub:
        tried.refused, tried.hub_refused = [Refused(reason) for reason in of_hub], True
        return tried
    _singles(tried)
    if isinstance(choice, list):
        tried.refused += [Refused(reason) for reason in choice]
        tried.press_refused = f"no press can be used: {choice[0].text}"
        return tried
    tried.choice = choice
    _begin(tried, list(_pairs(tried, choice)), most_shown)
    return tried


def _singles(tried: TrialResult) -> None:
    """Separate the pieces that keep their own rules, by tag, from those that do not."""
    case, shelf = tried.case, tried.asked.shelf
    for broach in sorted(shelf.broaches, key=lambda piece: piece.tag):
        reason = broach_refusal(broach, case)
        if reason is None:
            tried.broaches.append(broach)
        else:
            tried.refused.append(Refused(reason, broach=broach.tag))
    for bushing in sorted(shelf.bushings, key=lambda piece: piece.tag):
        reason = bushing_refusal(bushing, case)
        if reason is None:
            tried.bushings.append(bushing)
        else:
            tried.refused.append(Refused(reason, bushing=bushing.tag))
    for broach in shelf.broaches_beyond.nearest_broaches:
        reason = broach_refusal(broach, case)
        assert reason is not None
        tried.refused.append(Refused(reason, broach=broach.tag))
    for bushing in shelf.bushings_beyond.nearest_bushings:
        reason = bushing_refusal(bushing, case)
        assert reason is not None
        tried.refused.append(Refused(reason, bushing=bushing.tag))


def _pairs(tried: TrialResult, choice: PressChoice) -> Iterator[tuple[Pair, Reason | None]]:
    """The pairs that fit each other, with the reason where no press has room for them; the others are refused."""
    case = tried.case
    for broach in tried.broaches:
        teeth = Teeth.of(broach)
        room = presses_for(broach, choice, case)
        no_room = room if isinstance(room, Reason) else None
        presses = choice if isinstance(room, Reason) else room
        bearing = None if no_room else bearing_of(broach, teeth, presses, case)
        for bushing in tried.bushings:
            reason = slot_refusal(broach, bushing, case)
            if reason is not None:
                tried.refused.append(Refused(reason, broach.tag, bushing.tag))
            else:
                yield Pair(broach, bushing, teeth, presses, bearing), no_room


def _begin(tried: TrialResult, pairs: Iterable[tuple[Pair, Reason | None]], most_shown: int | None) -> None:
    """Separate the pairs that have a plan from the others: by the cut first, then by the room in the press, then by load."""
    pairs = list(pairs)
    tried.drawer.expect(pair for pair, _ in pairs)
    overloaded = []
    for pair, no_room in pairs:
        outcome = begin(pair, tried.drawer, tried.case)
        if isinstance(outcome, Overloaded):
            overloaded.append(outcome)
        elif isinstance(outcome, Reason):
            tried.refused.append(Refused(outcome, pair.broach.tag, pair.bushing.tag))
        elif no_room is not None:
            tried.refused.append(Refused(no_room, pair.broach.tag, pair.bushing.tag))
        else:
            tried.begun.append(outcome)
    for one, reason in overload_reasons(overloaded, tried.case, most_shown):
        tried.refused.append(Refused(reason, one.pair.broach.tag, one.pair.bushing.tag))
