"""By which day the shop has to begin what it makes for a job."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import NamedTuple

from broachplan.planner.answer import Make
from broachplan.settings import Settings
from broachplan.tooling.figures import Kind
from broachplan.work_days import WorkDays

# What the shop makes itself; it says in how many days.
MADE = (Kind.BUSHING, Kind.SHIM)


class StartBy(NamedTuple):
    """What is made for a job.

    ``day`` is the last working day on which it can be begun, None while the shop has not said in how many ``days`` it makes
    such pieces. ``late``: that day is past.
    """

    number: str
    kinds: tuple[Kind, ...]
    wanted: date
    days: int | None
    day: date | None
    late: bool


def start_by(
    number: str, make: Sequence[Make], first_day: date, today: date, settings: Settings
) -> StartBy | None:
    """When to begin what a job needs made, or None where the shop makes nothing of it.

    What is begun on a day is there so many calendar days later, and is used from the day after, because it is measured
    first: as an order of that lead would be.
    """
    kinds = tuple(dict.fromkeys(one.kind for one in make if one.way == 1))
    if not kinds or not set(kinds) <= set(MADE):
        return None
    known = [_days(kind, settings) for kind in kinds]
    days = [each for each in known if each is not None]
    if len(days) < len(known):
        return StartBy(number, kinds, first_day, None, None, late=False)
    longest = max(days)
    last = _working_day(first_day - timedelta(days=longest + 1), settings.work_days)
    return StartBy(number, kinds, first_day, longest, last, late=last < today)


def _days(kind: Kind, settings: Settings) -> int | None:
    return settings.make_bushing_days if kind is Kind.BUSHING else settings.make_shim_days


def _working_day(last: date, work: WorkDays) -> date:
    """The last working day up to and including one."""
    while last.weekday() not in work.days:
        last -= timedelta(days=1)
    return last
