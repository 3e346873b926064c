"""Who gets which piece on which day: the verdict of every coming job, all days at once.

Most jobs are ready; of such sets the one that holds the jobs that come first by priority, due day and number; and
each of them has the best plan that leaves every later one a plan.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from broachplan.buying.best_plans import best_in_turn
from broachplan.buying.by_ways import best_by_ways
from broachplan.buying.coming import ComingJob
from broachplan.buying.ready_set import best_ready_set, in_turn
from broachplan.buying.reasons import Why
from broachplan.buying.serving import NOTHING
from broachplan.buying.sharing import Pieces, Rivals, Wanted, groups
from broachplan.buying.together import OutOfSteps, Together
from broachplan.buying.verdicts import Judge, Verdict

# Far more than any day of a shop needs; with it one group is given up after about half a minute.
MOST_STEPS = 30_000


@dataclass(frozen=True, slots=True)
class Judged:
    """A job with its verdict.

    ``pieces`` are those of its best plan, or of some lawful one where only the ready set was asked for. ``why`` is None but for a blocked job.
    ``clashes_with`` are the ready jobs that hold a piece that it could use, ``waits_for`` its own pieces that are due back or on order; ``alike`` the jobs of the same days that could
    be run with it as one.
    """

    job: ComingJob
    verdict: Verdict
    pieces: frozenset[str] = frozenset()
    why: Why | None = None
    clashes_with: tuple[str, ...] = ()
    alike: tuple[str, ...] = ()
    waits_for: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Assignment:
    """All jobs in the order of rank. ``proven``: no other assignment is better."""

    judged: tuple[Judged, ...]
    proven: bool = True

    @property
    def ready(self) -> tuple[str, ...]:
        """The numbers of the ready jobs."""
        return tuple(one.job.number for one in self.judged if one.verdict is Verdict.READY)

    def of(self, number: str) -> Judged:
        """One job."""
        return next(one for one in self.judged if one.job.number == number)


def assign(
    jobs: Sequence[ComingJob], judge: Judge, *, plans: bool = True, most_steps: int = MOST_STEPS
) -> Assignment:
    """The assignment of model.md over all jobs.

    Parameters
    ----------
    plans : settle the best plan of each ready job; otherwise only which are ready.
    most_steps : after so many steps over one group of jobs, for its ready set and again for their plans, what was found
        so far is taken, and is not proven.
    """
    ranked = sorted(jobs, key=lambda job: job.rank)
    alone = {job.number: judge.alone(job) for job in ranked}
    able = [job for job in ranked if alone[job.number].possible or judge.may_be_possible(job)]
    rivals = Rivals(able, judge.sharing, judge.users)
    ready: dict[str, frozenset[str]] = {}
    proven = True
    for group in groups([_wanted(job, judge) for job in able], rivals):
        found, sure = _of_group(group, rivals, judge, plans=plans, most_steps=most_steps)
        ready.update(found)
        proven = proven and sure
    alike = _alike(ranked, judge)
    judged = []
    for job in ranked:
        number, why = job.number, alone[job.number].why
        verdict = Verdict.READY if number in ready else Verdict.BLOCKED if why else Verdict.CLASH
        judged.append(
            Judged(
                job,
                verdict,
                ready.get(number, NOTHING),
                why if verdict is Verdict.BLOCKED else None,
                _clashes(job, ready, rivals, judge) if verdict is Verdict.CLASH else (),
                tuple(other for other in alike[_one_run(job, judge)] if other != number),
                judge.waits_for(job, ready.get(number, NOTHING)),
            )
        )
    return Assignment(tuple(judged), proven)


def _wanted(job: ComingJob, judge: Judge) -> Wanted:
    """The pieces that could serve a job on its days."""
    if job.holds is not None:
        return Wanted(job, job.holds)
    return Wanted(job, judge.serving(job).pieces - judge.off(job, loose=True))


def _of_group(
    group: Sequence[ComingJob], rivals: Rivals, judge: Judge, *, plans: bool, most_steps: int
) -> tuple[Pieces, bool]:
    """The ready jobs of a group with their pieces, and whether no other choice is better."""
    together = Together(judge, group, rivals, most_steps)
    ranked = [job.number for job in group if job.holds is None]
    started = dict(together.started)
    found: Pieces = in_turn(ranked, together)
    try:
        if len(found) < len(ranked):
            ready = best_ready_set(ranked, together)
            found = together.all_of(frozenset(ready)) or {}
        together.begin()
        if plans:
            found = best_in_turn([one for one in ranked if one in found], together, judge)
        if not rivals.lawful(found):
            found = best_by_ways(ranked, len(found), together, judge)
    except OutOfSteps:
        lawful = found if rivals.lawful(found) else in_turn(ranked, together)
        return started | dict(lawful), False
    return started | dict(found), True


def _clashes(job: ComingJob, ready: Pieces, rivals: Rivals, judge: Judge) -> tuple[str, ...]:
    """The ready jobs of a shared day whose plans hold a piece that a job could use, but for those it follows."""
    could = _wanted(job, judge).pieces
    return tuple(
        one
        for one in rivals.met_by(job.number)
        if one in ready and not ready[one].isdisjoint(could) and not judge.sharing.joined((job.number, one))
    )


def _one_run(job: ComingJob, judge: Judge) -> object:
    return judge.serving(job), job.days


def _alike(jobs: Sequence[ComingJob], judge: Judge) -> Mapping[object, list[str]]:
    """The jobs that are not started yet, by what would let them be run as one: hub, keyway, press and days."""
    found: dict[object, list[str]] = {}
    for job in jobs:
        of_run = found.setdefault(_one_run(job, judge), [])
        if job.holds is None:
            of_run.append(job.number)
    return found
