"""A sequence of passes worked out in full: what each pass takes, what it loads, and what to know before pressing."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from broachplan.cut.teeth import bites
from broachplan.lengths import Length
from broachplan.planner.answer import Pass, Plan
from broachplan.planner.cautions import Draft, cautions_of
from broachplan.planner.pairs import FinishedPair
from broachplan.planner.rules import Case
from broachplan.tooling.drive import Drive


def plan_of(found: FinishedPair, case: Case) -> Plan:
    """The plan that was found, with what each pass takes and what to know before pressing."""
    search, order = found.search, found.order
    passes = tuple(_passes(found, case))
    reading = Length(search.reading(order.lifts[-1]))
    made = Plan(
        broach=found.pair.broach,
        bushing=found.pair.bushing,
        press=found.press,
        passes=passes,
        reading=reading,
        cautions=cautions_of(Draft(found, passes, case)),
        drive=case.drives.get(found.press.tag, Drive.NOT_KNOWN) if found.press else Drive.NOT_KNOWN,
    )
    return replace(made, homes=_homes(made, case))


def _homes(made: Plan, case: Case) -> tuple[tuple[str, str], ...]:
    tags = (*made.taken, made.press.tag) if made.press else made.taken
    return tuple((tag, case.homes[tag]) for tag in tags if tag in case.homes)


def _passes(found: FinishedPair, case: Case) -> Iterable[Pass]:
    search, teeth = found.search, found.pair.teeth
    problem = search.problem
    in_cut = teeth.in_cut(case.hub.cut_length)
    before: int | None = None
    for number, (stack, lift) in enumerate(zip(found.stacks, found.order.lifts, strict=True), 1):
        surface = search.surface(before)
        load = None if problem.bearing is None else search.load_of(before, lift)
        taken = bites(problem.section, teeth, problem.web_nm + lift, surface)
        yield Pass(
            number=number,
            stack=stack,
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
