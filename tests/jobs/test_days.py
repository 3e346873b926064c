"""The days on which a job is at the press."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.errors import InputError
from broachplan.jobs.days import days_of
from broachplan.jobs.job import Job
from broachplan.work_days import WorkDays, read_work_days
from tests.jobs.some import a_job

# 2031-05-30 is a Friday, by the perpetual calendar.
FRIDAY = date(2031, 5, 30)
WEEK = WorkDays()


def days(job: Job, today: date = FRIDAY - timedelta(days=60), work: WorkDays = WEEK) -> list[str]:
    return [day.isoformat() for day in days_of(job, today, work).days]


def test_a_job_is_at_the_press_on_the_last_working_days_up_to_its_due_day() -> None:
    assert days(a_job(due=FRIDAY)) == ["2031-05-30"]
    assert days(a_job(due=FRIDAY + timedelta(days=3), days=3)) == ["2031-05-29", "2031-05-30", "2031-06-02"]


def test_a_due_day_at_the_weekend_means_the_friday_before() -> None:
    assert days(a_job(due=FRIDAY + timedelta(days=2))) == ["2031-05-30"]


def test_the_press_by_day_comes_before_the_due_day() -> None:
    assert days(a_job(due=FRIDAY, press_by=date(2031, 5, 27), days=2)) == ["2031-05-26", "2031-05-27"]


def test_a_job_whose_first_day_is_past_begins_today_or_on_the_next_working_day_and_is_late() -> None:
    job = a_job(due=FRIDAY, days=2)

    assert not days_of(job, date(2031, 5, 29), WEEK).late
    late = days_of(job, FRIDAY, WEEK)
    assert late.late
    assert days(job, FRIDAY) == ["2031-05-30", "2031-06-02"]
    assert days(job, FRIDAY + timedelta(days=1)) == ["2031-06-02", "2031-06-03"]


def test_the_shop_sets_its_working_days() -> None:
    assert days(a_job(due=FRIDAY + timedelta(days=1), days=2), work=read_work_days("Mon, Wed, Sat")) == [
        "2031-05-28",
        "2031-05-31",
    ]


def test_at_the_end_of_the_calendar_one_line_says_so() -> None:
    with pytest.raises(
        InputError, match=r"^day: read 9999-12-31; the calendar ends before the job's days do$"
    ):
        days_of(a_job(days=9), date.max, WEEK)


@given(
    ahead=st.integers(-40, 40),
    count=st.integers(1, 60),
    working=st.sets(st.integers(0, 6), min_size=1).map(frozenset),
)
def test_the_days_are_working_days_in_a_row_none_past_and_none_after_the_last_unless_late(
    ahead: int, count: int, working: frozenset[int]
) -> None:
    work, job = WorkDays(working), a_job(due=FRIDAY + timedelta(days=ahead), days=count)

    found, late = days_of(job, FRIDAY, work)

    assert len(found) == count
    between = [found[0] + timedelta(days=number) for number in range((found[-1] - found[0]).days + 1)]
    assert list(found) == [day for day in between if day.weekday() in working]
    assert found[0] >= FRIDAY
    if late:
        assert not [day for day in _days(FRIDAY, found[0]) if day.weekday() in working]
    else:
        assert not [
            day
            for day in _days(found[-1] + timedelta(days=1), job.due + timedelta(days=1))
            if day.weekday() in working
        ]


def _days(first: date, end: date) -> list[date]:
    return [first + timedelta(days=number) for number in range((end - first).days)]


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("Mon-Fri", "Monday to Friday"),
        ("monday to saturday", "Monday to Saturday"),
        ("Sat to Mon", "Monday, Saturday, Sunday"),
        ("tue thu", "Tuesday, Thursday"),
    ],
)
def test_working_days_read_back_as_they_are_written(text: str, written: str) -> None:
    found = read_work_days(text)

    assert str(found) == written
    assert read_work_days(written) == found


@pytest.mark.parametrize("text", ["", "mo", "every day", "mon-wed-fri", "1,2"])
def test_other_words_are_no_working_days(text: str) -> None:
    with pytest.raises(InputError, match="write the days, for example Monday to Friday"):
        read_work_days(text)
