"""Change what is known of a job, or set a started one back to coming."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from broachplan.desks.attendant.clock import stamped
from broachplan.errors import CribStateError, InputError
from broachplan.jobs.entries import difference_words
from broachplan.jobs.job import Job, JobAct, JobState, read_job_state, why_not_become
from broachplan.questions.jobs import JobEditRequest
from broachplan.store.job_holds import check_joined, check_no_open_run, free_pieces
from broachplan.store.job_import import as_changed, check_names
from broachplan.store.jobs import JobLine, keep_jobs, load_job
from broachplan.store.work import writing

# What may be written about a job whose pieces are held as it was planned.
_ALWAYS = frozenset({"note", "drawing", "priority"})


@dataclass(frozen=True, slots=True)
class EditedJob:
    """What became different on a job; nothing where it was so already."""

    job: Job
    differences: tuple[str, ...]

    @property
    def lines(self) -> tuple[str, ...]:
        """What is different now."""
        return (f"job {self.job.number}: {'; '.join(self.differences) or 'it is so already'}",)


def edit_job(db: str | None, request: JobEditRequest, *, at: datetime | None = None) -> EditedJob:
    """Change texts of a job; what is not given stays. State ``coming`` sets a started job back and frees what it holds.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : no such job, nothing to change, or a text that cannot be read.
    CribStateError : it is done or dropped; it is started and more than its note, drawing or priority would change; a run
        of it is open and it would be set back; it would be set back and joins two started jobs that share a piece.
    StorageError : the database cannot be used.
    """
    stamp = stamped(request.by, at)
    state = read_job_state(request.state) if request.state.strip() else None
    if state not in (None, JobState.COMING):
        raise InputError(
            "state", "write coming; `broachplan jobs` start, finish and drop do the rest", read=request.state
        )
    if not request.values and state is None:
        raise InputError("edit", 'nothing to change; name a line, for example --due "2031-05-28"')
    with writing(db) as work:
        before = load_job(work, request.number)
        back = before.state is JobState.STARTED and state is JobState.COMING
        _check_may_change(before, frozenset(request.values), back=back)
        now, freed = before, []
        if back:
            check_no_open_run(work, before)
            freed = free_pieces(work, before, stamp.day)
            now = replace(before, state=JobState.COMING, pieces=(), held=())
        after = as_changed(now, request.values)
        if request.values.keys() & {"press", "after"}:
            check_names(work, after)
        line = JobLine(JobAct.SET_BACK if back else JobAct.CHANGED, before, after)
        keep_jobs(work, stamp, [line], freed)
        if back:
            check_joined(work)
        work.commit()
    words = ("set back to coming",) if back else ()
    return EditedJob(after, (*words, *difference_words(line.changes)))


def _check_may_change(job: Job, names: frozenset[str], *, back: bool) -> None:
    if job.state in (JobState.DONE, JobState.DROPPED):
        raise CribStateError(why_not_become(job, JobState.COMING))
    if job.state is JobState.STARTED and not back and (held := sorted(names - _ALWAYS)):
        raise CribStateError(
            f"job {job.number} is started and holds its pieces as planned; set it back with --state coming before you change {held[0].replace('_', ' ')}"
        )
