"""What a job may be, which states follow which, and the order of jobs."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from broachplan.errors import InputError
from broachplan.jobs.job import ACT_OF, JobAct, JobState, loop_of, why_not_become
from broachplan.store.job_rows import JOB_ACTS, JOB_STATES
from tests.jobs.some import a_job


@pytest.mark.parametrize(
    ("beside", "message"),
    [
        ({"number": ""}, "number"),
        ({"quantity": 0}, "quantity: read 0; write a whole number from 1 to 100,000"),
        ({"quantity": 100_001}, "quantity: read 100001"),
        ({"days": 61}, "days: read 61; write a whole number from 1 to 60"),
        ({"priority": 10}, "priority: read 10; write a whole number from 1 to 9"),
        ({"press_by": date(2031, 5, 29)}, "press by: read 2031-05-29, which is after 2031-05-28"),
        ({"due": date(1, 1, 1)}, "due: read 0001-01-01; write a day from 1900"),
        ({"after": "job j-1"}, "a job cannot follow itself"),
        ({"pieces": ("S-1",)}, "holds pieces exactly while it is started"),
        ({"state": JobState.STARTED}, "holds pieces exactly while it is started"),
    ],
)
def test_a_job_that_cannot_be_is_refused_with_what_was_read(beside: dict[str, Any], message: str) -> None:
    with pytest.raises(InputError, match=message):
        a_job(**beside)


def test_jobs_come_by_priority_then_due_day_then_number() -> None:
    jobs = [
        a_job("J-3"),
        a_job("J-2", due=date(2031, 5, 27)),
        a_job("J-10"),
        a_job("J-1", priority=6),
        a_job("J-9", priority=1, due=date(2031, 6, 1)),
    ]

    assert [job.number for job in sorted(jobs, key=lambda job: job.rank)] == [
        "J-9", "J-2", "J-10", "J-3", "J-1",
    ]  # fmt: skip


def test_a_job_goes_from_coming_to_started_and_on_and_there_is_no_way_back_from_done() -> None:
    follows = {state: state.may_become for state in JobState}

    assert follows == {
        JobState.COMING: (JobState.STARTED, JobState.DROPPED),
        JobState.STARTED: (JobState.DONE, JobState.DROPPED, JobState.COMING),
        JobState.DONE: (),
        JobState.DROPPED: (),
    }


def test_why_a_state_cannot_follow_says_what_can() -> None:
    job = a_job()

    assert why_not_become(job, JobState.STARTED) == ""
    assert why_not_become(job, JobState.DONE) == "job J-1 is coming; it can become started or dropped"
    assert why_not_become(a_job(state=JobState.DONE), JobState.STARTED) == "job J-1 is done; that is final"
    assert why_not_become(job, JobState.COMING) == "job J-1 is coming already"


def test_jobs_that_follow_each_other_in_a_ring_are_found() -> None:
    assert loop_of({"a": "b", "b": "c", "c": "a"}, "a") == ("a", "b", "c")
    assert loop_of({"a": "b", "b": "c", "c": "b"}, "a") == ()
    assert loop_of({"a": "b"}, "a") == ()


def test_the_tables_know_every_state_and_act_of_a_job() -> None:
    assert tuple(state.value for state in JobState) == JOB_STATES
    assert tuple(act.value for act in JobAct) == JOB_ACTS
    assert set(ACT_OF) == set(JobState)
