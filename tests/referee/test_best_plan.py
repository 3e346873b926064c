"""The planner's plans against every plan there is, over random small cribs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Container, Sequence
from dataclasses import replace
from random import Random

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as hypothesis_settings

from broachplan.crib.shelf import Shelf
from broachplan.planner.answer import Answer
from broachplan.standards.named import Shape
from broachplan.tooling.hub import BoreForm
from broachplan.tooling.pieces import Piece
from tests.referee.brute_force import Question, best_plans, fit_alone, search
from tests.referee.compare import answered, as_best, crib_and_answer, kinds
from tests.referee.cribs import MOODS, crib, questions

CRIBS = 100
# Among so few no plan hangs on the throat of a press; in this one it does.
THROAT = 151
MOST_ASKED = 4
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
    "heavily loaded": 2,
    "tied shims": 5,
    "figures unknown": 5,
}
BINDING = {
    "through", "taper", "width", "bushing_fit", "engagement", "chip_room", "on_shelf", "slot_fit", "shim_fit",
    "entry", "bite", "reading", "opening", "throat", "press_force", "column",
}  # fmt: skip


class Comparison:
    """The planner against brute force, what the cribs were examples of, and the rules that decided some of them."""

    def __init__(self) -> None:
        self.seen: Counter[str] = Counter()
        self.deciding: set[str] = set()

    def of(self, question: Question, answer: Answer) -> None:
        """Compare the answer to one crib."""
        expected, broken = search(question)
        assert [as_best(found, question) for found in answer.plans] == expected
        assert answer.more_pairs == 0
        self._first_ones(question, answer)
        self.seen.update(kinds(question, expected))
        for rule in BINDING & broken.keys() - self.deciding:
            if best_plans(question, frozenset({rule})) != expected:
                self.deciding.add(rule)

    def _first_ones(self, question: Question, answer: Answer) -> None:
        """Where only some are asked for, they are the first of all, and the others are counted."""
        if (fewer := min(len(answer.plans), MOST_ASKED) - 1) > 0:
            most = 1 + self.seen["cribs"] % fewer
            few = answered(question, most)
            assert few.plans == answer.plans[:most]
            assert few.more_pairs == len(answer.plans) - most
            self.seen["only some asked for"] += 1


def test_each_pairs_plan_is_the_best_of_all_its_plans_and_the_best_pair_is_first() -> None:
    compared = Comparison()

    for number in (*range(CRIBS), THROAT):
        compared.of(*crib_and_answer(number))

    seen = compared.seen
    assert seen["cribs"] == CRIBS + 1
    shares = {kind: 100 * seen[kind] // seen["cribs"] for kind in LEAST}
    assert {kind: share for kind, share in shares.items() if share < LEAST[kind]} == {}
    assert compared.deciding == BINDING
    assert seen["only some asked for"] > CRIBS // 10


@pytest.mark.nightly
def test_each_pairs_plan_is_the_best_of_all_its_plans_over_many_cribs() -> None:
    compared = Comparison()
    for mood, weight in Counter(MOODS).items():

        @hypothesis_settings(
            max_examples=-(-2_000 * weight // len(MOODS)),
            database=None,
            deadline=None,
            suppress_health_check=SLOW_IS_MEANT,
        )
        @given(questions((mood,)))
        def check(question: Question) -> None:
            compared.of(question, answered(question))

        check()

    assert compared.seen["cribs"] >= 2_000
    assert compared.deciding == BINDING


@pytest.mark.parametrize(
    "numbers", [range(0, CRIBS, 7), pytest.param(range(0, 200, 6), marks=pytest.mark.nightly)]
)
def test_the_same_crib_in_any_order_gives_the_same_answer(numbers: range) -> None:
    for number in numbers:
        question, answer = crib_and_answer(number)
        assert answered(replace(question, shelf=shuffled(question, Random(number)))) == answer


def shuffled(question: Question, random: Random) -> Shelf:
    """The pieces of a crib in another order."""
    shelf = question.shelf

    def mixed(pieces: Sequence[Piece]) -> tuple[Piece, ...]:
        return tuple(random.sample(pieces, len(pieces)))

    return replace(
        shelf,
        broaches=mixed(shelf.broaches),
        bushings=mixed(shelf.bushings),
        shims=mixed(shelf.shims),
        presses=mixed(shelf.presses),
        off=dict(reversed(shelf.off.items())),
    )


@pytest.mark.parametrize("numbers", [range(15), pytest.param(range(30), marks=pytest.mark.nightly)])
def test_taking_away_what_is_off_the_shelf_changes_no_plan(numbers: range) -> None:
    plans = 0
    for number in numbers:
        question = crib(number, ("lent",))
        shelf = question.shelf

        def there(pieces: Sequence[Piece], off: Container[str] = shelf.off) -> tuple[Piece, ...]:
            return tuple(piece for piece in pieces if piece.tag not in off)

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
        plans += len(with_them.plans) if shelf.off else 0
    assert plans > 5


def test_every_pair_is_planned_or_refused_and_never_both() -> None:
    for number in range(CRIBS):
        question, answer = crib_and_answer(number)
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


def test_a_piece_that_fails_alone_is_counted_once_and_pairs_only_among_the_rest() -> None:
    counted = 0
    for number in range(CRIBS):
        question, answer = crib_and_answer(number)
        shelf = question.shelf
        parallel = question.keyway.shape is not Shape.TAPER and question.hub.bore_form is BoreForm.THROUGH
        if not parallel or any(press.tag in shelf.off for press in shelf.presses):
            continue
        broaches, bushings = fit_alone(question)

        alone = len(shelf.broaches) - len(broaches) + len(shelf.bushings) - len(bushings)
        pairs = len(broaches) * len(bushings) - len(answer.plans)
        assert sum(refusal.count for refusal in answer.refusals) == alone + pairs
        counted += 1
    assert counted > CRIBS // 2
