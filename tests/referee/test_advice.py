"""The advice for a blocked hub: the second planner finds a plan once it is done."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

import pytest

from broachplan.planner.answer import Advice, Answer, Try
from tests.referee.brute_force import Question, possible
from tests.referee.choices import Seeded
from tests.referee.compare import answered
from tests.referee.cribs import crib
from tests.referee.test_make import MOODS, made, with_pieces, without

LEAST = {Try.STACK: 1, Try.SLUG: 1, Try.BACK: 4, Try.MEASURE: 2}


def hindered(number: int) -> Question:
    """A crib in the way of which something simple was put: a shorter hub, pieces that are out, a figure not measured."""
    question, choose = crib(number, MOODS), Seeded(f"hindered {number}")
    shelf, hub = question.shelf, question.hub
    match choose.of(("short", "out", "unmeasured", "named press", "short of a shim")):
        case "short":
            return replace(
                question, hub=replace(hub, stack=1, length=max(b.tooth_pitch for b in shelf.broaches))
            )
        case "out":
            pieces = [*shelf.bushings, *shelf.broaches]
            return replace(question, shelf=replace(shelf, off={one.tag: "lent to Kim" for one in pieces}))
        case "unmeasured":
            return replace(
                question,
                shelf=replace(shelf, bushings=tuple(replace(one, web=None) for one in shelf.bushings)),
            )
        case "named press" if shelf.presses:
            weakest = min(shelf.presses, key=lambda press: press.rated_force.mn if press.rated_force else 0)
            return replace(question, press=weakest.tag)
        case _ if shelf.shims:
            return without(question, shelf.shims[0].kind, choose.of(shelf.shims).tag)
        case _:
            return question


def done(question: Question, answer: Answer, advice: Advice) -> Question:
    """The crib once the advice was taken, with what is to be made beside it."""
    hub, shelf = question.hub, question.shelf
    match advice.what:
        case Try.STACK:
            assert advice.hubs is not None
            question = replace(question, hub=replace(hub, stack=advice.hubs))
        case Try.SLUG:
            assert advice.length is not None
            question = replace(question, hub=replace(hub, length=hub.cut_length + advice.length, stack=1))
        case Try.BACK:
            off = {tag: why for tag, why in shelf.off.items() if tag not in advice.tags}
            question = replace(question, shelf=replace(shelf, off=off))
        case Try.PRESS:
            question = replace(question, press=advice.tags[0])
    together = [make for make in answer.make if make.way == advice.way]
    return with_pieces(question, [made(make, number, question) for number, make in enumerate(together)])


def advised(question: Question) -> Iterator[Try]:
    """The advice for a crib; each is tried, except measuring, whose result nobody knows."""
    answer = answered(question)
    for advice in answer.advice:
        if advice.what is not Try.MEASURE:
            assert possible(done(question, answer, advice)), advice.text
        yield advice.what


def test_the_advice_readies_the_hub() -> None:
    seen = Counter(what for number in range(30) for what in advised(hindered(number)))

    assert {what: seen[what] for what, least in LEAST.items() if seen[what] < least} == {}


@pytest.mark.nightly
def test_the_advice_for_many_cribs_readies_their_hubs() -> None:
    for number in range(2_000, 3_000):
        list(advised(hindered(number)))
