"""The planner's plans against every plan there is, over random small cribs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, assume, event, given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from broachplan.keyways.keyway import Shape
from broachplan.tooling.hub import BoreForm
from tests.referee.brute_force import Question, best_plans, fit_alone, search
from tests.referee.compare import answered, as_best, kinds
from tests.referee.cribs import MOODS, questions

SLOW_IS_MEANT = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]
# The least share in a hundred cribs of each kind, so that the comparison stays worth its time.
LEAST = {
    "ready": 30,
    "several passes": 25,
    "four passes or more": 5,
    "several pairs": 10,
    "first pass ends in the corners": 5,
    "large arc": 5,
    "loads known": 15,
    "press chosen": 10,
    "tied shims": 5,
}
BINDING = {
    "through", "taper", "width", "bushing_fit", "engagement", "chip_room", "on_shelf", "slot_fit", "shim_fit",
    "entry", "bite", "reading", "opening", "throat", "press_force", "column",
}  # fmt: skip


def over_cribs(check: Callable[[Question], None], examples: int, *, same_each_time: bool = True) -> None:
    """``check`` over random cribs, each mood in its share."""
    for mood, weight in Counter(MOODS).items():
        fixed = hypothesis_settings(
            max_examples=-(-examples * weight // len(MOODS)),
            derandomize=same_each_time,
            database=None,
            deadline=None,
            suppress_health_check=SLOW_IS_MEANT,
        )
        fixed(given(question=questions((mood,)))(check))()


def compared_with_brute_force(examples: int, *, same_each_time: bool = True) -> tuple[Counter[str], set[str]]:
    """Compare the planner with brute force; count what the cribs were examples of, and tell the rules that decided."""
    seen: Counter[str] = Counter()
    deciding: set[str] = set()

    def check(question: Question) -> None:
        expected, broken = search(question)
        answer = answered(question)

        assert [as_best(found, question) for found in answer.plans] == expected
        seen.update(kinds(question, expected))
        event(f"{len(expected[0].totals)} passes" if expected else "blocked")
        for rule in BINDING & broken.keys() - deciding:
            if best_plans(question, frozenset({rule})) != expected:
                deciding.add(rule)

    over_cribs(check, examples, same_each_time=same_each_time)
    return seen, deciding


def test_each_pairs_plan_is_the_best_of_all_its_plans_and_the_best_pair_is_first() -> None:
    seen, deciding = compared_with_brute_force(200)

    assert seen["cribs"] >= 200
    shares = {kind: 100 * seen[kind] // seen["cribs"] for kind in LEAST}
    assert {kind: share for kind, share in shares.items() if share < LEAST[kind]} == {}
    assert deciding == BINDING


@pytest.mark.nightly
def test_each_pairs_plan_is_the_best_of_all_its_plans_over_many_cribs() -> None:
    seen, deciding = compared_with_brute_force(2_000, same_each_time=False)

    assert seen["cribs"] >= 2_000
    assert deciding == BINDING


@hypothesis_settings(max_examples=30, deadline=None, suppress_health_check=SLOW_IS_MEANT)
@given(questions(), st.randoms(use_true_random=False))
def test_the_same_crib_in_any_order_gives_the_same_answer(question: Question, random: object) -> None:
    shelf = question.shelf

    def shuffled(pieces: tuple[object, ...]) -> tuple[object, ...]:
        return tuple(random.sample(pieces, len(pieces)))

    mixed = replace(
        shelf,
        broaches=shuffled(shelf.broaches),
        bushings=shuffled(shelf.bushings),
        shims=shuffled(shelf.shims),
        presses=shuffled(shelf.presses),
        off=dict(reversed(shelf.off.items())),
    )

    first = answered(question)
    assert answered(question) == first
    assert answered(replace(question, shelf=mixed)) == first


@hypothesis_settings(max_examples=30, deadline=None, suppress_health_check=SLOW_IS_MEANT)
@given(questions())
def test_taking_away_what_is_off_the_shelf_changes_no_plan(question: Question) -> None:
    shelf = question.shelf

    def there(pieces: tuple[object, ...]) -> tuple[object, ...]:
        return tuple(piece for piece in pieces if piece.tag not in shelf.off)

    bare = replace(
        shelf,
        broaches=there(shelf.broaches),
        bushings=there(shelf.bushings),
        shims=there(shelf.shims),
        off={press.tag: shelf.off[press.tag] for press in shelf.presses if press.tag in shelf.off},
    )
    with_them, without = answered(question), answered(replace(question, shelf=bare))
    assert [as_best(found, question) for found in without.plans] == [
        as_best(found, question) for found in with_them.plans
    ]


@hypothesis_settings(max_examples=60, deadline=None, suppress_health_check=SLOW_IS_MEANT)
@given(questions())
def test_every_pair_is_planned_or_refused_and_never_both(question: Question) -> None:
    answer = answered(question)
    planned = {(found.broach.tag, found.bushing.tag) for found in answer.plans}
    broaches, bushings = fit_alone(question)

    assert len(planned) == len(answer.plans)
    assert answer.plans or answer.refusals
    for refusal in answer.refusals:
        assert min(refusal.count, 3) == len(refusal.nearest) > 0
        for near in refusal.nearest:
            assert near.text
            assert (near.broach, near.bushing) not in planned
            if near.broach and near.bushing:
                assert near.broach in broaches
                assert near.bushing in bushings
            elif near.broach or near.bushing:
                assert near.broach not in broaches
                assert near.bushing not in bushings


@hypothesis_settings(max_examples=60, deadline=None, suppress_health_check=SLOW_IS_MEANT)
@given(questions())
def test_a_piece_that_fails_alone_is_counted_once_and_pairs_only_among_the_rest(question: Question) -> None:
    shelf = question.shelf
    assume(question.hub.bore_form is BoreForm.THROUGH and question.keyway.shape is not Shape.TAPER)
    assume(all(press.tag not in shelf.off and press.rated_force for press in shelf.presses))
    answer = answered(question)
    broaches, bushings = fit_alone(question)

    alone = len(shelf.broaches) - len(broaches) + len(shelf.bushings) - len(bushings)
    pairs = len(broaches) * len(bushings) - len(answer.plans)
    assert sum(refusal.count for refusal in answer.refusals) == alone + pairs
