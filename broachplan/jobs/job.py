"""A job: hubs to be cut by a day, as the drawing asks for them, and what state the work is in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from broachplan.crib.holds import work_key
from broachplan.errors import InputError

LONGEST_NUMBER = 40
MOST_QUANTITY = 100_000
MOST_JOB_DAYS = 60
LEAST_PRIORITY, USUAL_PRIORITY = 9, 5
# Days are counted from a job's day in both directions.
_YEARS = range(1900, 9000)


class JobState(StrEnum):
    """How far the work is. Only coming and started jobs are judged."""

    COMING = "coming"
    STARTED = "started"
    DONE = "done"
    DROPPED = "dropped"

    @property
    def may_become(self) -> tuple[JobState, ...]:
        """The states that may follow; from done and dropped there is no way back."""
        return _FOLLOWING[self]

    @property
    def is_open(self) -> bool:
        """Whether the work is still to be done, or being done."""
        return bool(self.may_become)


_FOLLOWING = {
    JobState.COMING: (JobState.STARTED, JobState.DROPPED),
    JobState.STARTED: (JobState.DONE, JobState.DROPPED, JobState.COMING),
    JobState.DONE: (),
    JobState.DROPPED: (),
}


class JobAct(StrEnum):
    """What was done to a job."""

    ADDED = "added"
    CHANGED = "changed"
    STARTED = "started"
    SET_BACK = "set back"
    FINISHED = "finished"
    DROPPED = "dropped"
    UNDONE = "undone"


ACT_OF = {
    JobState.COMING: JobAct.SET_BACK,
    JobState.STARTED: JobAct.STARTED,
    JobState.DONE: JobAct.FINISHED,
    JobState.DROPPED: JobAct.DROPPED,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One job of the list of coming work.

    ``question`` holds the lines of the hub's question, and the press, as they were typed; what is not there was not
    given. ``days`` is how many working days it is at the press, the last of them ``press_by``, else ``due``. ``priority``
    is from 1, the most urgent, to 9. ``after`` is the number of a job that it follows on the same pieces.

    ``pieces`` and ``held`` are what a started job holds and on which days; empty in every other state.
    """

    number: str
    question: Mapping[str, str]
    due: date
    quantity: int = 1
    days: int = 1
    priority: int = USUAL_PRIORITY
    press_by: date | None = None
    after: str = ""
    drawing: str = ""
    note: str = ""
    state: JobState = JobState.COMING
    pieces: tuple[str, ...] = ()
    held: tuple[date, ...] = field(default=())

    def __post_init__(self) -> None:
        if not self.number or len(self.number) > LONGEST_NUMBER:
            raise InputError(
                "number", f"write a number of 1 to {LONGEST_NUMBER} characters", read=self.number
            )
        for what, value, most in (
            ("quantity", self.quantity, MOST_QUANTITY),
            ("days", self.days, MOST_JOB_DAYS),
            ("priority", self.priority, LEAST_PRIORITY),
        ):
            if not 1 <= value <= most:
                raise InputError(what, f"write a whole number from 1 to {most:,}", shown=value)
        for what, day in (("due", self.due), ("press by", self.press_by)):
            if day is not None and day.year not in _YEARS:
                raise InputError(what, f"write a day from {_YEARS[0]} to {_YEARS[-1]}", shown=day)
        if self.press_by is not None and self.press_by > self.due:
            raise InputError(
                "press by",
                "write an earlier day",
                shown=f"{self.press_by}, which is after {self.due}, its due day",
            )
        if self.after and work_key(self.after) == work_key(self.number):
            raise InputError("after", "a job cannot follow itself", read=self.after)
        if {bool(self.pieces), bool(self.held)} != {self.state is JobState.STARTED}:
            raise InputError("job", f"{self.number}: a job holds pieces exactly while it is started")

    @property
    def press(self) -> str:
        """The tag of the press that it asks for; empty where it asks for none."""
        return self.question.get("press", "")

    @property
    def last_day(self) -> date:
        """The day by which it is to be at the press for the last time."""
        return self.press_by or self.due

    @property
    def rank(self) -> tuple[int, date, str]:
        """Jobs come in this order: priority, due day, number by code point."""
        return self.priority, self.due, self.number


def why_not_become(job: Job, state: JobState) -> str:
    """Why a job cannot go into a state; empty where it can."""
    if state in job.state.may_become:
        return ""
    if state is job.state:
        return f"job {job.number} is {job.state} already"
    ways = " or ".join(job.state.may_become)
    return f"job {job.number} is {job.state}; " + (f"it can become {ways}" if ways else "that is final")


def read_whole(text: str, what: str, most: int) -> int:
    """A whole number from 1 to ``most``; `InputError` where it is none."""
    plain = text.strip()
    if not (plain.isascii() and plain.isdigit() and len(plain) < 8 and 1 <= int(plain) <= most):
        raise InputError(what, f"write a whole number from 1 to {most:,}", read=text)
    return int(plain)


def read_job_state(text: str) -> JobState:
    """A state by its word; `InputError` where it is none."""
    try:
        return JobState(text.strip().lower())
    except ValueError:
        raise InputError("state", f"write {', '.join(JobState)}", read=text) from None


def loop_of(after: Mapping[str, str], number: str) -> tuple[str, ...]:
    """The jobs that follow each other in a ring, beginning with ``number``; empty where there is none.

    ``after`` maps the `work_key` of a job to that of the job it follows.
    """
    found, now = [number], after.get(number, "")
    while now and now not in found:
        found.append(now)
        now = after.get(now, "")
    return tuple(found) if now == number else ()
