"""What an action did to jobs, and how it is taken back."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.crib.entries import taken_back
from broachplan.crib.holds import work_key
from broachplan.errors import CribStateError, InputError
from broachplan.jobs.entries import JobEntry
from broachplan.jobs.job import JobAct
from broachplan.store.jobs import JobLine, job_entries, job_from, jobs_by_key, values_of
from broachplan.store.transaction import Work


@dataclass(frozen=True, slots=True)
class JobDone:
    """What the action did to one job, and the act that takes it back."""

    entry: JobEntry
    line: JobLine


def jobs_done(work: Work, action: int) -> list[JobDone]:
    """What an action did to jobs, by number. A job that it added is not there any more once that is taken back.

    Raises
    ------
    CribStateError : a job is not as the action left it.
    """
    entries = sorted(job_entries(work, action=action), key=lambda entry: entry.number)
    now = jobs_by_key(work, (entry.number for entry in entries))
    found = []
    for entry in entries:
        job = now.get(work_key(entry.number))
        try:
            before = job_from(taken_back(values_of(job), entry.changes))
        except (ValueError, InputError) as error:
            raise CribStateError(
                f"job {entry.number} was changed since: its {error} is not what it was then"
            ) from error
        found.append(JobDone(entry, JobLine(JobAct.UNDONE, job, before)))
    return found
