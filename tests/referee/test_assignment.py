"""Who gets which piece on which day, against every assignment there is, over random small cribs."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import cache
from itertools import combinations
from random import Random

import pytest

from broachplan.buying import together
from broachplan.buying.assignment import Assignment, assign
from broachplan.buying.coming import sharing_among
from broachplan.buying.sharing import Rivals
from broachplan.buying.verdicts import Judge, Verdict
from broachplan.crib.ahead import Snapshot
from tests.referee.shared_days import MONDAY, Case, best_assignment, case

CASES = 30
# The least number of the cases in a hundred of each kind, so that the comparison stays worth its time.
LEAST = {"clash": 15, "blocked": 3, "ready": 50, "shims shared": 10, "two days": 30, "after": 10}


def assigned(of: Case) -> Assignment:
    """The assignment of a case."""
    return assign(of.jobs, judge_of(of))


def judge_of(of: Case) -> Judge:
    """A judge of a case's crib, who knows the marks between its jobs."""
    return Judge(of.crib, of.settings, MONDAY, sharing_among(of.jobs))


@cache
def case_and_assignment(number: int, marks: int | None = None) -> tuple[Case, Assignment]:
    """A random case and its assignment, for all tests that look at it."""
    of = case(number, marks)
    return of, assigned(of)


def compared(number: int, seen: Counter[str], marks: int | None = None) -> None:
    """One case against brute force."""
    of, found = case_and_assignment(number, marks)
    expected = best_assignment(of)
    assert found.proven
    ready = tuple((j.job.number, j.pieces) for j in found.judged if j.verdict is Verdict.READY)
    assert ready == expected.ready
    blocked = {j.job.number for j in found.judged if j.verdict is Verdict.BLOCKED}
    assert blocked == expected.blocked
    quick = assign(of.jobs, judge_of(of), plans=False)
    assert quick.ready == found.ready
    shims = {shim.tag for shim in of.crib.shelf.shims}
    seen["cases"] += 1
    seen["ready"] += bool(ready)
    seen["blocked"] += bool(blocked)
    seen["clash"] += len(ready) + len(blocked) < len(of.jobs)
    seen["shims shared"] += sum(bool(tags & shims) for _, tags in ready) > 1
    seen["two days"] += any(len(job.days) > 1 for job in of.jobs)
    seen["after"] += any(job.after for job in of.jobs)
    sharing = sharing_among(of.jobs).loose()
    joined = Rivals(of.jobs, sharing, sharing.users)
    seen["through others"] += any(
        one.number not in joined.of(other.number) and other.after != one.number and one.after != other.number
        for one, other in combinations(of.jobs, 2)
        if set(one.days) & set(other.days)
    )


def test_the_assignment_is_the_best_of_all_there_are() -> None:
    seen: Counter[str] = Counter()

    for number in range(CASES):
        compared(number, seen)

    assert {kind: seen[kind] for kind, least in LEAST.items() if 100 * seen[kind] < least * CASES} == {}


def test_where_most_jobs_follow_another_the_assignment_is_the_best_of_all_there_are() -> None:
    seen: Counter[str] = Counter()

    for number in range(CASES, CASES + 15):
        compared(number, seen, marks=1)

    assert seen["through others"] > 5


def test_a_mark_never_lowers_the_value_so_a_marked_job_is_never_worse_off_than_an_unmarked_one() -> None:
    for number in range(CASES, CASES + 15):
        of, whole = case_and_assignment(number, 1)
        for at, job in enumerate(of.jobs):
            if job.after:
                fewer = (*of.jobs[:at], replace(job, after=None), *of.jobs[at + 1 :])
                less = assigned(replace(of, jobs=fewer))
                assert (len(less.ready), value(less)) <= (len(whole.ready), value(whole))


@pytest.mark.nightly
def test_the_assignment_is_the_best_of_all_there_are_over_many_cribs() -> None:
    seen: Counter[str] = Counter()

    for number in range(CASES, CASES + 200):
        compared(number, seen, marks=1 if number % 3 == 0 else None)

    assert seen["cases"] == 200


def test_many_shims_are_settled_in_another_way_to_the_same_assignment(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(together, "FEW_SHIMS", -1)

    for number in range(CASES):
        of, whole = case_and_assignment(number)
        assert assigned(of) == whole


def test_the_order_of_jobs_and_pieces_changes_nothing() -> None:
    for number in range(0, CASES, 3):
        of, whole = case_and_assignment(number)
        random = Random(number)
        stock = of.crib.shelf
        shelf = replace(
            stock,
            broaches=tuple(random.sample(stock.broaches, len(stock.broaches))),
            bushings=tuple(random.sample(stock.bushings, len(stock.bushings))),
            shims=tuple(random.sample(stock.shims, len(stock.shims))),
            presses=tuple(random.sample(stock.presses, len(stock.presses))),
        )
        mixed = Snapshot(shelf, dict(reversed(of.crib.states.items())))
        jobs = tuple(random.sample(of.jobs, len(of.jobs)))
        assert assigned(Case(jobs, mixed, of.settings)) == whole


def test_one_more_piece_never_lowers_the_value_and_never_makes_a_job_blocked() -> None:
    gained = 0
    for number in range(0, CASES, 2):
        of, whole = case_and_assignment(number)
        for kind in ("broaches", "bushings", "shims"):
            pieces = getattr(of.crib.shelf, kind)
            if not pieces:
                continue
            fewer = replace(of.crib, shelf=replace(of.crib.shelf, **{kind: pieces[1:]}))
            less = assigned(Case(of.jobs, fewer, of.settings))
            assert len(less.ready) <= len(whole.ready)
            if len(less.ready) == len(whole.ready):
                assert value(less) <= value(whole)
            gained += len(less.ready) < len(whole.ready)
            blocked = {j.job.number for j in whole.judged if j.verdict is Verdict.BLOCKED}
            assert blocked <= {j.job.number for j in less.judged if j.verdict is Verdict.BLOCKED}
    assert gained > CASES // 6


def value(of: Assignment) -> list[bool]:
    """Which jobs are ready, in the order of rank: of two sets as large, the larger list is the better."""
    return [one.verdict is Verdict.READY for one in of.judged]


def test_a_clash_names_the_ready_jobs_that_hold_what_it_could_use() -> None:
    clashes = 0
    for number in range(CASES):
        _, found = case_and_assignment(number)
        for one in found.judged:
            if one.verdict is not Verdict.CLASH:
                assert one.clashes_with == ()
                continue
            clashes += 1
            assert one.clashes_with
            for other in one.clashes_with:
                rival = found.of(other)
                assert rival.verdict is Verdict.READY
                assert set(rival.job.days) & set(one.job.days)
    assert clashes > 3
