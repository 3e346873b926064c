"""What is left after a reading, against every possible continuation, over random small cribs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import count, islice
from random import Random

import pytest

from broachplan.planner.answer import Answer, Plan
from broachplan.planner.given import with_stacks
from broachplan.planner.plan import plan
from broachplan.planner.starting_point import on_read_metal, with_other_pieces
from broachplan.planner.tried import Trial
from tests.referee.brute_force import Question, best_plans
from tests.referee.compare import as_best, crib_and_answer
from tests.referee.metal_read import Read

# What is compared in a hundred cases at least, so that the comparison stays worth its time.
LEAST = {
    "ready": 40,
    "several passes": 15,
    "blocked": 10,
    "another order than was planned": 5,
    "loads known": 20,
    "two ends": 30,
    "one end": 30,
    "another pair": 20,
    "the same pair": 40,
}


def cases(first: int = 0) -> Iterator[tuple[str, Question, Answer]]:
    """Readings after a pass of a plan of a random crib: deep, shallow, at one end or two, for this pair and for others."""
    for number in count(first):
        question, whole = crib_and_answer(number)
        random = Random(number)
        readings = [
            (found, done)
            for found in whole.plans
            for done in range(1, len(found.passes))
            if _gauged(found, done, question)
        ]
        if not readings:
            continue
        found, done = random.choice(readings)
        at = found.passes[done - 1]
        read = tuple(at.reading.nm + _off(random, question) for _ in range(random.choice((1, 2))))
        limits = question.keyway.reading
        if (
            max(read) > limits.upper.nm
            or min(read) >= limits.lower.nm
            or min(read) <= question.hub.bore.lower.nm
        ):
            continue
        metal = Read(found.broach.tag, found.bushing.tag, at.shims.nm, read)
        for name, asked in _asked(random, replace(question, read=metal)):
            yield name, asked, _answered(asked)


def _gauged(found: Plan, done: int, question: Question) -> bool:
    return found.passes[done - 1].reading > question.hub.bore.upper


def _off(random: Random, question: Question) -> int:
    """How far off the plain reading the gauge says: by a hair, by thousandths, by as much as the limits allow."""
    wide = max(question.keyway.reading.spread.nm, 20_000)
    return random.choice(
        (0, 1, -1, *(random.randint(-wide // part, wide // part) for part in (1, 2, 2, 4, 4)))
    )


def _asked(random: Random, question: Question) -> Iterator[tuple[str, Question]]:
    """The pair that was read alone; now and then the crib without one piece of it."""
    read, shelf = question.read, question.shelf
    alone = shelf.only(read.broach, read.bushing)
    yield "the same pair", replace(question, shelf=alone)
    if random.random() < 0.6:
        broaches = tuple(piece for piece in shelf.broaches if piece.tag != read.broach)
        bushings = tuple(piece for piece in shelf.bushings if piece.tag != read.bushing)
        without = replace(shelf, broaches=broaches) if broaches else replace(shelf, bushings=bushings)
        yield "another pair", replace(question, shelf=without)


def _answered(question: Question) -> Answer:
    read, shelf = question.read, question.shelf
    same = [(piece.tag, other.tag) for piece in shelf.broaches for other in shelf.bushings] == [
        (read.broach, read.bushing)
    ]
    if same:
        (broach,), (bushing,) = shelf.broaches, shelf.bushings
        start = on_read_metal(bushing.web.nm + read.total + broach.last_tooth_height.nm, *read.read)
    else:
        start = with_other_pieces(*read.read)
    return plan(
        question.hub,
        question.keyway,
        shelf,
        question.settings,
        press=question.press,
        most_plans=None,
        start=start,
    )


def compared(amount: int) -> Counter[str]:
    """The first so many cases against every order of passes there is, and what they were examples of."""
    seen: Counter[str] = Counter()
    for name, question, answer in islice(cases(), amount):
        expected = best_plans(question)
        assert [as_best(found, question) for found in answer.plans] == expected
        seen["cases"] += 1
        seen[name] += 1
        seen["two ends" if len(set(question.read.read)) > 1 else "one end"] += 1
        seen["ready" if expected else "blocked"] += 1
        if expected:
            seen["several passes"] += len(expected[0].totals) > 1
            seen["loads known"] += expected[0].key[2] < float("inf")
            seen["another order than was planned"] += best_plans(_as_planned(question)) != expected
    return seen


def _as_planned(question: Question) -> Question:
    """The same metal as if it had read just what was planned."""
    read = question.read
    (broach,) = [piece for piece in question.shelf.broaches if piece.tag == read.broach] or [None]
    (bushing,) = [piece for piece in question.shelf.bushings if piece.tag == read.bushing] or [None]
    if broach is None or bushing is None:
        return question
    plain = bushing.web.nm + read.total + broach.last_tooth_height.nm
    return replace(question, read=replace(read, read=(plain,)))


def test_what_is_left_after_a_reading_is_the_best_of_all_ways_to_go_on() -> None:
    seen = compared(30)

    assert seen["cases"] == 30
    for kind in (
        "ready",
        "blocked",
        "several passes",
        "two ends",
        "one end",
        "another pair",
        "the same pair",
    ):
        assert seen[kind], kind


@pytest.mark.nightly
def test_what_is_left_after_two_hundred_readings_is_the_best_of_all_ways_to_go_on() -> None:
    seen = compared(200)

    shares = {kind: 100 * seen[kind] // seen["cases"] for kind in LEAST}
    assert {kind: share for kind, share in shares.items() if share < LEAST[kind]} == {}


@pytest.mark.parametrize(
    "numbers", [range(0, 100, 2), pytest.param(range(0, 200, 2), marks=pytest.mark.nightly)]
)
def test_a_reading_as_planned_leaves_the_rest_of_the_plan_lawful_and_as_good(numbers: range) -> None:
    """Passes and tenths are settled before the load; without a load the rest is the very same.

    With one the rest may be another: what the first passes loaded no longer counts against it.
    """
    seen: Counter[str] = Counter()
    for number in numbers:
        question, whole = crib_and_answer(number)
        for found in whole.plans[:2]:
            for done in range(1, len(found.passes)):
                if not _gauged(found, done, question):
                    continue
                at = found.passes[done - 1]
                pair = question.shelf.only(found.broach.tag, found.bushing.tag)
                metal = Read(found.broach.tag, found.bushing.tag, at.shims.nm, (at.reading.nm,))
                rest = _answered(replace(question, shelf=pair, read=metal)).plans[0]
                left = found.passes[done:]

                assert (len(rest.passes), _tenths(rest, question)) == (len(left), _tenths(found, question))
                trial = Trial(
                    question.hub, question.keyway, question.shelf, question.settings, question.press,
                    on_read_metal(at.reading.nm, at.reading.nm),
                )  # fmt: skip
                kept = with_stacks(trial, found.broach, found.bushing, [one.stack for one in left])
                assert kept.lawful, kept.broken
                if at.force_high is None:
                    assert [one.stack for one in rest.passes] == [one.stack for one in left]
                    seen["without a load"] += 1
                seen["all"] += 1
    assert seen["all"] > 20
    assert seen["without a load"] > 5


def _tenths(found: Plan, question: Question) -> int:
    return as_best(found, question).key[1]
