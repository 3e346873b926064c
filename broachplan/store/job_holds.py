"""What a started job holds: its pieces on its days, all or none, shared with a job that it follows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from sqlalchemy import select

from broachplan.crib.ahead import PieceState, ahead
from broachplan.crib.entries import Act, Change, held_on
from broachplan.crib.holds import same_work
from broachplan.crib.loans import Asker
from broachplan.crib.sharing import Sharing
from broachplan.errors import CribStateError
from broachplan.jobs.days import held_or_days
from broachplan.jobs.job import Job, JobState
from broachplan.store.entries import ActLine
from broachplan.store.holds import held_days, hold, set_hold
from broachplan.store.jobs import find_job, load_jobs, sharing_of
from broachplan.store.run_guard import OPEN
from broachplan.store.settings_store import load_settings
from broachplan.store.stored_pieces import StoredPiece, stored_pieces
from broachplan.store.tables import RUN
from broachplan.store.transaction import Work


def asker_for(work: Work, job: Job, name: str = "") -> Asker:
    """Who works on a job: they may use what is held for it, and what marks let it share with other jobs."""
    return Asker(name, job.number, sharing_of(work))


def asker_named(work: Work, name: str, of: str) -> Asker:
    """Who works on what is named: a job of the list by its number, or any words."""
    job = find_job(work, of) if of.strip() else None
    return asker_for(work, job, name) if job else Asker(name, of)


def last_day_of(work: Work, of: str, today: date) -> date:
    """The last day of the job that is named, where it is in the list and still to be done, else today; never a past one."""
    job = find_job(work, of) if of.strip() else None
    if job is None or not job.state.is_open:
        return today
    return max(today, held_or_days(job, today, load_settings(work).work_days).days[-1])


def hold_pieces(
    work: Work, job: Job, tags: Iterable[str], days: Sequence[date], today: date
) -> list[ActLine]:
    """Hold pieces for a job on its days; the entries of it. What a job holds that it may share with stays held for that.

    Raises
    ------
    CribStateError : a piece is not there on one of the days, or is held for other work; nothing is held.
    """
    asker = asker_for(work, job)
    found = [(stored, held_days(work, stored.id, days)) for stored in stored_pieces(work, tags)]
    reasons = []
    for stored, held in found:
        status = stored.status
        there = ahead(PieceState.of(status, held), days, tag=status.tag, today=today, asker=asker)
        off = "retired" if status.retired else there.off
        if off:
            reasons.append(f"{status.tag} ({off})")
    if reasons:
        raise CribStateError(f"not all pieces of the plan are there on its days: {', '.join(reasons)}")
    lines = []
    for stored, held in found:
        free = [day for day in days if day not in held]
        if free:
            lines.append(hold(work, stored, free, job.number))
    return lines


def free_pieces(work: Work, job: Job, first: date) -> list[ActLine]:
    """Free what a started job holds from a day on; what another started job uses too is held for that from now on."""
    sharing = sharing_of(work)
    days = [day for day in job.held if day >= first]
    lines = []
    for stored in stored_pieces(work, job.pieces) if days else ():
        changes = tuple(_freed(work, stored, days, job, sharing))
        for change in changes:
            set_hold(
                work,
                stored.id,
                str(change.name).split()[-1],
                change.new if isinstance(change.new, str) else None,
            )
        if changes:
            lines.append(ActLine(stored.id, Act.RELEASED, changes))
    return lines


def _freed(
    work: Work, stored: StoredPiece, days: Sequence[date], job: Job, sharing: Sharing
) -> Iterator[Change]:
    tag = stored.status.tag
    for day, held_for in sorted(held_days(work, stored.id, days).items()):
        if same_work(held_for, job.number) and day in days:
            heirs = [each for each in sharing.users(tag, day) if not same_work(each, job.number)]
            yield Change(held_on(day), held_for, heirs[0] if heirs else None)


def check_joined(work: Work) -> None:
    """Raise `CribStateError` where started jobs share a piece on a day and marks do not join them; see `Sharing`."""
    sharing = sharing_of(work)
    for tag, day, jobs in sharing.shared():
        if not sharing.joined(jobs):
            numbers = " and ".join(jobs)
            raise CribStateError(
                f"jobs {numbers} would both use {tag} on {day}, and neither would follow the other; set one of them back first"
            )


def check_not_held_by_job(work: Work, stored: StoredPiece, days: Iterable[date]) -> None:
    """Raise `CribStateError`, naming the job, where a started job holds a piece on one of some days."""
    asked = set(days)
    for job in load_jobs(work, JobState.STARTED):
        if stored.status.tag in job.pieces and asked & set(job.held):
            raise CribStateError(
                f"{stored.status.tag} is held for job {job.number}, which is started; finish or drop that job, or set it back with `broachplan jobs edit {job.number} --state coming`"
            )


def check_no_open_run(work: Work, job: Job) -> None:
    """Raise `CribStateError`, naming the run, while a run of a job is open."""
    query = select(RUN.c.id, RUN.c.letters, RUN.c.job).where(RUN.c.state.in_(OPEN)).order_by(RUN.c.id)
    for number, letters, of in work.connection.execute(query):
        if of and same_work(of, job.number):
            raise CribStateError(f"run R{number}-{letters} of job {job.number} is open; end that run first")
