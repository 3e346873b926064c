"""When a job that clashes could be cut with nothing else moved."""

from __future__ import annotations

from datetime import date, timedelta

from broachplan.buying.coming import ComingJob
from broachplan.buying.free_days import free_days
from broachplan.crib.ahead import PieceState, Snapshot
from broachplan.work_days import WorkDays
from tests.buying.shop import MONDAY, TUESDAY, assigned, job, judge, stock

WEDNESDAY, THURSDAY, FRIDAY = (MONDAY + timedelta(days=n) for n in (2, 3, 4))
LAST_FRIDAY = MONDAY - timedelta(days=3)


def free(crib: Snapshot, today: date, which: str, *jobs: ComingJob) -> tuple[date, date] | None:
    """The free days of one of some jobs."""
    found = assigned(crib, *jobs)
    return free_days(found.of(which).job, found, judge(crib), today, WorkDays())


def test_the_latest_earlier_day_comes_first() -> None:
    jobs = job("W-1", THURSDAY), job("W-2", THURSDAY)

    assert free(stock(), MONDAY, "W-2", *jobs) == (WEDNESDAY, WEDNESDAY)


def test_a_day_on_which_a_ready_job_needs_the_pieces_is_passed_by() -> None:
    jobs = job("W-1", THURSDAY), job("W-2", THURSDAY), job("W-3", WEDNESDAY)

    assert free(stock(), MONDAY, "W-2", *jobs) == (TUESDAY, TUESDAY)


def test_without_an_earlier_day_it_is_the_first_later_one_and_never_a_day_off() -> None:
    jobs = job("W-1", FRIDAY), job("W-2", FRIDAY)

    assert free(stock(), FRIDAY, "W-2", *jobs) == (MONDAY + timedelta(days=7), MONDAY + timedelta(days=7))


def test_a_job_of_two_days_asks_for_two_working_days_in_a_row() -> None:
    jobs = job("W-1", TUESDAY), job("W-2", days=(MONDAY, TUESDAY), priority=9)

    assert free(stock(), LAST_FRIDAY, "W-2", *jobs) == (LAST_FRIDAY, MONDAY)


def test_what_is_held_for_other_work_is_not_free() -> None:
    held = stock(states={"K": PieceState(held={WEDNESDAY: "W-9"})})

    assert free(held, MONDAY, "W-2", job("W-1", THURSDAY), job("W-2", THURSDAY)) == (TUESDAY, TUESDAY)
