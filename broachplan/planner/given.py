"""Stacks that are given, worked out in full for one broach in one bushing: what a run has already chosen, while it holds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from broachplan.cut.load import whole_newtons
from broachplan.cut.teeth import Teeth
from broachplan.lengths import Length
from broachplan.planner.answer import Plan, Rule, Shims
from broachplan.planner.overload import overload_reason
from broachplan.planner.pairs import FinishedPair, Pair, exact_peaks, pair_of, problem_of
from broachplan.planner.presses import PressChoice, presses_asked, presses_for
from broachplan.planner.rules import (
    Case,
    Reason,
    broach_refusal,
    bushing_refusal,
    hub_refusals,
    slot_refusal,
    stack_refusal,
)
from broachplan.planner.search import PassOrder, Search
from broachplan.planner.stacks import FewTotals
from broachplan.planner.tried import Trial, case_of
from broachplan.planner.worked_out import plan_of
from broachplan.shown import AtLeast, AtMost
from broachplan.tooling.pieces import Broach, Bushing


@dataclass(frozen=True, slots=True)
class Given:
    """Given stacks worked out: the plan they make, and every rule that they break, in the order they were looked at.

    ``plan`` is there even if it breaks a rule. Forces are known only where the figures are.
    """

    plan: Plan
    broken: tuple[Reason, ...]

    @property
    def lawful(self) -> bool:
        """Whether every rule holds."""
        return not self.broken


def with_stacks(asked: Trial, broach: Broach, bushing: Bushing, stacks: Sequence[Shims]) -> Given:
    """Passes with these stacks, one after the other, from where ``asked`` begins.

    Parameters
    ----------
    asked : hub, keyway, shelf (for what is off it, and for its presses), settings, the press named, and the start.
    broach, bushing : the pair, with the figures that no plan can do without.
    stacks : the shims of each pass, one pass at least.

    Raises
    ------
    InputError : the press named is not in the crib, or a figure is missing that the calculation needs.
    """
    case = case_of(asked)
    teeth = Teeth.of(broach)
    choice = presses_asked(asked.shelf.presses, asked.press, case)
    reasons = [] if isinstance(choice, PressChoice) else choice
    room = presses_for(broach, choice, case) if isinstance(choice, PressChoice) else None
    if isinstance(room, Reason):
        reasons.append(room)
    presses = room if isinstance(room, PressChoice) else PressChoice((), False)
    pair = pair_of(broach, bushing, teeth, presses, case)
    stacks = tuple(tuple(sorted(stack, key=lambda shim: shim.tag)) for stack in stacks)
    lifts = tuple(sum(shim.thickness.nm for shim in stack if shim.thickness) for stack in stacks)
    search = Search(problem_of(pair, FewTotals((), (), case.settings.stack_most, max(lifts)), case))
    peaks = None if pair.bearing is None else exact_peaks(search, lifts)
    order = PassOrder((), lifts, None if peaks is None else whole_newtons(peaks.high_n))
    found = FinishedPair(pair, search, order, presses.best_for(peaks, case), stacks)
    broken = (
        *_of_pieces(pair, stacks, case),
        *_of_cut(search, lifts, case),
        *reasons,
        *_of_load(found, case),
    )
    return Given(plan_of(found, case), broken)


def _of_pieces(pair: Pair, stacks: Sequence[Shims], case: Case) -> Iterator[Reason]:
    yield from hub_refusals(case)
    for reason in (
        broach_refusal(pair.broach, case),
        bushing_refusal(pair.bushing, case),
        slot_refusal(pair.broach, pair.bushing, case),
        *(stack_refusal(stack, pair.bushing, case) for stack in stacks),
    ):
        if reason is not None:
            yield reason


def _of_cut(search: Search, lifts: Sequence[int], case: Case) -> Iterator[Reason]:
    """Entry or the first bite, the other bites, and the last reading."""
    problem = search.problem
    low, high = problem.first_lifts_nm
    if not low <= lifts[0] <= high:
        rule = Rule.ENTRY if problem.start.surface_nm is None else Rule.BITE
        least, most, made = case.apart(AtLeast(Length(low)), AtMost(Length(high)), Length(lifts[0]))
        text = f"the first pass needs shims of {least} to {most}; this stack makes {made}"
        yield Reason(rule, text, max(low - lifts[0], lifts[0] - high))
    for before, after in pairwise(lifts):
        step, longest = case.apart(Length(after - before), AtMost(Length(problem.teeth.advance_nm)))
        if not 0 < after - before <= problem.teeth.advance_nm:
            yield Reason(Rule.BITE, f"a step of {step}, more than nothing and at most {longest}")
    target, last = problem.target, search.reading(lifts[-1])
    if not target.lower <= last <= target.upper:
        reads, least, most = case.apart(
            Length(last), AtLeast(Length(target.lower)), AtMost(Length(target.upper))
        )
        text = f"reads {reads} after the last pass; the limits are {least} to {most}"
        yield Reason(Rule.READING, text, max(target.lower - last, last - target.upper))


def _of_load(found: FinishedPair, case: Case) -> Iterator[Reason]:
    bearing, search, lifts = found.pair.bearing, found.search, found.order.lifts
    if bearing is None:
        return
    loads = [search.load_of(before, lift) for before, lift in zip((None, *lifts[:-1]), lifts, strict=True)]
    if not all(bearing.without_column.bears(load) for load in loads):
        yield overload_reason(Rule.PRESS_FORCE, found.pair, search, lifts, 0.0, case)
    if not all(bearing.without_press.bears(load) for load in loads):
        yield overload_reason(Rule.COLUMN, found.pair, search, lifts, 0.0, case)
