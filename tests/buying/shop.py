"""Jobs for the one set-up whose numbers come out whole, in a crib of as many of its pieces as a test asks for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from broachplan.buying.assignment import Assignment, assign
from broachplan.buying.coming import ComingJob, sharing_among
from broachplan.buying.verdicts import Judge
from broachplan.crib.ahead import PieceState, Snapshot
from broachplan.crib.loans import Loan
from broachplan.crib.shelf import Shelf
from tests.planner.setups import SetUp

MONDAY = date(2031, 6, 2)
TUESDAY = MONDAY + timedelta(days=1)


def job(number: str = "W-1", day: date = MONDAY, *, priority: int = 5, **more: Any) -> ComingJob:
    """A job of one day for the set-up's hub."""
    set_up = SetUp()
    figures = {"hub": set_up.hub, "keyway": set_up.keyway, "days": (day,), "rank": (priority, day, number)}
    return ComingJob(number, **(figures | more))


def stock(
    broaches: int = 1,
    bushings: int = 1,
    sets: int = 1,
    states: Mapping[str, PieceState] | None = None,
    **changes: Any,
) -> Snapshot:
    """A crib with so many of the set-up's broach, of its bushing, and of its set of three shims."""
    set_up = SetUp().but(**changes)
    shims = tuple(
        replace(shim, tag=f"{shim.tag}{at}" if at else shim.tag)
        for at in range(sets)
        for shim in set_up.shims
    )
    shelf = Shelf(
        tuple(replace(set_up.broach, tag=f"K{at or ''}") for at in range(broaches)),
        tuple(replace(set_up.bushing, tag=f"G{at or ''}") for at in range(bushings)),
        shims,
        () if set_up.press is None else (set_up.press,),
    )
    return Snapshot(shelf, states or {})


def holding(crib: Snapshot, **pieces: Any) -> Snapshot:
    """The same crib with other pieces of some kinds."""
    return replace(crib, shelf=replace(crib.shelf, **pieces))


def lent(due: date | None) -> PieceState:
    """A piece that is lent until a day."""
    return PieceState(loan=Loan("Kim", date(2031, 5, 5), due))


def judge(crib: Snapshot, *jobs: ComingJob) -> Judge:
    """A judge of that crib under the set-up's settings, who knows the marks between the jobs."""
    return Judge(crib, SetUp().settings, MONDAY, sharing_among(jobs))


def assigned(crib: Snapshot, *jobs: ComingJob) -> Assignment:
    """The assignment of jobs in a crib."""
    return assign(jobs, judge(crib, *jobs))
