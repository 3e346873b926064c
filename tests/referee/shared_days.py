"""Small cribs with several jobs on a few days, and every assignment there is, tried one by one.

Nothing here is shared with the assignment but the value types; plans are those of the slow planner. A job's plans are
the best ones of every set of shims: any other plan is no better than the best one on its own shims, and uses no fewer.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import chain, combinations, product

from broachplan.buying.coming import ComingJob
from broachplan.crib.ahead import PieceState, Snapshot
from broachplan.crib.loans import Loan
from broachplan.crib.records import Condition
from broachplan.crib.shelf import Shelf
from broachplan.lengths import Length, Limits
from broachplan.settings import Settings
from tests.referee.brute_force import Key, Question, best_plans, possible
from tests.referee.choices import Choices, Seeded, rare
from tests.referee.cribs import crib

MONDAY = date(2031, 6, 2)
MOODS = ("plain", "plain", "press", "turned", "fits", "plain", "column", "lent")


@dataclass(frozen=True)
class Case:
    """Jobs, and the crib that they share."""

    jobs: tuple[ComingJob, ...]
    crib: Snapshot
    settings: Settings


@dataclass(frozen=True)
class Way:
    """One way to cut a job: how good it is, and the tags that it uses."""

    key: Key
    tags: frozenset[str]


def case(number: int, marks: int | None = None) -> Case:
    """The same jobs and crib for the same number; about one job in ``marks`` follows an earlier one."""
    choose = Seeded(f"shared days {number}")
    question = crib(number, MOODS)
    jobs = tuple(_jobs(choose, question, marks))
    shelf = question.shelf
    tags = [p.tag for p in (*shelf.broaches, *shelf.bushings, *shelf.shims)]
    states = {tag: PieceState(condition=Condition.WORN) for tag in shelf.off}
    for tag in tags:
        if rare(choose, 12):
            states[tag] = choose.of(
                (
                    PieceState(loan=Loan("Kim", MONDAY, due=MONDAY)),
                    PieceState(ordered=MONDAY),
                    PieceState(held={MONDAY: "W-9"}),
                    PieceState(held={MONDAY + timedelta(days=1): jobs[0].number}),
                )
            )
    there = Shelf(shelf.broaches, shelf.bushings, shelf.shims, shelf.presses)
    return Case(jobs, Snapshot(there, states), question.settings)


def _jobs(choose: Choices, question: Question, marks: int | None = None) -> Iterator[ComingJob]:
    amount = choose.between(2, 4)
    numbers = choose.order([f"W-{at}" for at in range(1, amount + 1)])
    for at, number in enumerate(numbers):
        hub, keyway = question.hub, question.keyway
        if rare(choose, 2):
            nm = choose.of((-40, -7, 7, 25)) * 2_540
            lower, upper = keyway.reading.lower + Length(nm), keyway.reading.upper + Length(nm)
            aim = keyway.aim + Length(nm)
            keyway = replace(keyway, reading=Limits(aim, lower, upper), aim=aim)
        if rare(choose, 4):
            hub = replace(hub, length=Length(hub.length.nm * 9 // 10))
        first = choose.between(0, 1)
        days = tuple(MONDAY + timedelta(days=first + day) for day in range(choose.of((1, 1, 2))))
        after = (
            numbers[choose.between(0, at - 1)] if at and rare(choose, 4 if marks is None else marks) else None
        )
        rank = choose.of((5, 5, 1)), days[-1], number
        yield ComingJob(number, hub, keyway, days, rank, question.press, after)


@dataclass(frozen=True)
class Outcome:
    """The ready jobs in the order of rank with their tags, and those that have no plan even by themselves."""

    ready: tuple[tuple[str, frozenset[str]], ...]
    blocked: frozenset[str]


def best_assignment(of: Case) -> Outcome:
    """The best of all assignments: every set of jobs, most first, and in each every plan of every job."""
    ranked = sorted(of.jobs, key=lambda job: job.rank)
    ways = {job.number: ways_of(job, of, others_join=True) for job in ranked}
    able = [job for job in ranked if ways[job.number]]
    for size in range(len(able), -1, -1):
        # In the order in which combinations come, the set that holds the earlier of two jobs is first.
        for some in combinations(able, size):
            found = _first(some, ways, {}, of)
            if found is not None:
                left = [job for job in ranked if job.number not in found]
                blocked = frozenset(job.number for job in left if not ways_of(job, of))
                return Outcome(tuple(found.items()), blocked)
    raise AssertionError("no job at all is always an assignment")


def _first(
    jobs: Sequence[ComingJob],
    ways: dict[str, list[Way]],
    taken: dict[str, frozenset[str]],
    of: Case,
) -> dict[str, frozenset[str]] | None:
    if not jobs:
        return taken if lawful(taken, of) else None
    job, *later = jobs
    for way in ways[job.number]:
        found = _first(later, ways, taken | {job.number: way.tags}, of)
        if found is not None:
            return found
    return None


def lawful(taken: dict[str, frozenset[str]], of: Case) -> bool:
    """Whether those that use a piece on a day, the work that it is held for among them, are joined by marks among themselves."""
    days = {job.number: job.days for job in of.jobs}
    marks = [{job.number, job.after} for job in of.jobs if job.after]
    for tag in frozenset().union(*taken.values()):
        state = of.crib.states.get(tag, PieceState())
        for day in {day for number in taken for day in days[number]}:
            users = {number for number, tags in taken.items() if tag in tags and day in days[number]}
            if users and state.held.get(day):
                users.add(state.held[day])
            if not _joined(users, [pair for pair in marks if pair <= users]):
                return False
    return True


def _joined(users: set[str], marks: Sequence[set[str]]) -> bool:
    found = set(sorted(users)[:1])
    for _ in users:
        for pair in marks:
            if found & pair:
                found |= pair
    return found == users


def ways_of(job: ComingJob, of: Case, *, others_join: bool = False) -> list[Way]:
    """Every way to cut a job on its days that is the best of its set of pieces, the best first.

    ``others_join`` counts what is held for any of the jobs: whether marks join them is then asked of all that use it.
    """
    works = {each.number for each in of.jobs} if others_join else {job.number, job.after}
    works |= {each.number for each in of.jobs if each.after == job.number}
    stock = of.crib.shelf
    off = {
        tag
        for tag, state in of.crib.states.items()
        if state.condition != Condition.FIT
        or any(state.held.get(day, job.number) not in works for day in job.days)
        # It is used from the day after it comes.
        or ((state.loan or state.ordered) and MONDAY in job.days)
    }
    there = tuple(shim for shim in stock.shims if shim.tag not in off)
    presses = tuple(press for press in stock.presses if press.tag not in off)
    if stock.presses and not presses:
        return []
    if job.press and job.press not in {press.tag for press in presses}:
        return []
    found = set()
    for broach, bushing in product(stock.broaches, stock.bushings):
        if {broach.tag, bushing.tag} & off:
            continue
        question = Question(
            job.hub, job.keyway, Shelf((broach,), (bushing,), there, presses), of.settings, job.press
        )
        if possible(question):
            found |= set(_ways_of_pair(question))
    return sorted(found, key=lambda way: way.key)


def _ways_of_pair(question: Question) -> Iterator[Way]:
    shelf = question.shelf
    for shims in chain.from_iterable(combinations(shelf.shims, n) for n in range(len(shelf.shims) + 1)):
        for best in best_plans(replace(question, shelf=replace(shelf, shims=shims))):
            yield Way(best.key, frozenset((best.broach, best.bushing, *chain(*best.stacks))))
