"""What is sure of a piece with limits, against every value within them, planned one by one by brute force."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from random import Random

import pytest

from broachplan.buying.limits import Trust
from broachplan.buying.piece_index import PieceIndex
from broachplan.buying.serving import HubAsked, Serving, Servings
from broachplan.buying.webs import webs_within
from broachplan.lengths import Length
from broachplan.planner.pairs import most_total_nm, problem_of
from broachplan.planner.tried import Trial, try_hub
from tests.referee.brute_force import Question, force_and_column, possible
from tests.referee.cribs import crib
from tests.referee.limited_cribs import LimitedCrib, limited_crib

KINDS = (
    ("web",),
    ("heights",),
    ("thickness",),
    ("web", "thickness"),
    ("outside_diameter",),
    ("slot_width", "web"),
    ("keyway_width",),
    ("keyway_width", "web"),
    ("thickness", "heights"),
    ("width",),
    ("overall_length",),
)
BY_DAY, AT_NIGHT = range(24), range(24, 320)


def cases(numbers: range, kinds: tuple[tuple[str, ...], ...] = KINDS) -> Iterator[LimitedCrib]:
    """Random cribs with limits on each kind of figure in turn."""
    for number in numbers:
        for names in kinds:
            found = limited_crib(number, names)
            if found is not None:
                yield found


def serving(of: LimitedCrib) -> tuple[Serving, frozenset[str]]:
    """What could serve the hub of a crib, and what of it is off the shelf."""
    question = of.with_middles()
    servings = Servings(PieceIndex(question.shelf), question.settings, Trust(of.limits))
    return servings.of(HubAsked(question.hub, question.keyway, question.press)), frozenset(question.shelf.off)


def compared(numbers: range, seen: Counter[str]) -> None:
    """What is sure, with the pieces that are said to be enough alone, has a plan at every value."""
    for of in cases(numbers):
        hub, off = serving(of)
        pieces = hub.pieces_of_any_plan(off)
        outcomes = list(of.outcomes()) if pieces is None else list(alone(of, pieces).outcomes())
        if pieces is not None:
            assert all(outcomes)
            assert hub.pieces_of_any_plan(off | (hub.pieces - pieces)) is not None
        seen["sure" if pieces is not None else "some" if any(outcomes) else "none"] += 1
        seen["not shown"] += pieces is None and all(outcomes)


def alone(of: LimitedCrib, pieces: frozenset[str]) -> LimitedCrib:
    """The same with everything else off the shelf."""
    shelf = of.question.shelf
    others = {one.tag: "away" for one in (*shelf.broaches, *shelf.bushings, *shelf.shims)}
    off = {tag: why for tag, why in others.items() if tag not in pieces} | dict(shelf.off)
    return of.with_off(off)


def test_what_is_sure_has_a_plan_at_every_value_with_no_more_pieces_than_it_says() -> None:
    seen: Counter[str] = Counter()

    compared(BY_DAY, seen)

    assert seen["not shown"] == 0
    assert min(seen["sure"], seen["some"], seen["none"]) > 10


@pytest.mark.nightly
def test_what_is_sure_has_a_plan_at_every_value_over_many_cribs() -> None:
    seen: Counter[str] = Counter()

    compared(AT_NIGHT, seen)

    # Where two bushings share the values out between them neither is sure by itself.
    assert seen["not shown"] < seen["sure"] / 100


def test_where_one_web_alone_is_not_known_what_is_not_sure_has_a_web_without_a_plan() -> None:
    witnesses = 0
    for of in cases(range(40), (("web",),)):
        hub, off = serving(of)
        (((tag, _),), width) = of.groups[0]
        if hub.pieces_of_any_plan(off) is None and any(of.outcomes()):
            assert any(not possible(of.at((by,))) for by in _ends(of, tag, width))
            witnesses += 1
    assert witnesses


def _ends(of: LimitedCrib, tag: str, width: int) -> Iterator[int]:
    """How much over the least web the values lie that are just outside of what does for one of the pairs."""
    question = of.question
    shelf = question.shelf
    tried = try_hub(Trial(question.hub, question.keyway, shelf, question.settings, question.press))
    yield from (0, width)
    for one in tried.begun:
        if one.pair.bushing.tag == tag:
            slot, web = one.pair.bushing.slot_width, one.pair.bushing.web
            assert slot is not None
            assert web is not None
            totals = tried.drawer.totals(slot, most_total_nm(one.pair.broach, one.pair.bushing, tried.case))
            problem = problem_of(one.pair, totals, tried.case)
            for low, high in webs_within(problem, web.nm, web.nm + width):
                yield from (end - web.nm for end in (low - 1, high + 1) if 0 <= end - web.nm <= width)


def test_the_load_of_given_passes_never_falls_as_the_web_grows() -> None:
    steps = risen = 0
    for number in range(120):
        question, random = crib(number), Random(number)
        for _ in range(25):
            before = random.choice((None, random.randrange(0, 2_000_000)))
            total = (before or 0) + random.randrange(1, 1_500_000)
            more = random.choice((1, 50, 2_540, 20_000, 150_000))
            loads = [force_and_column(_with_web(question, by), before, total) for by in (0, more)]
            if None in loads:
                break
            (low, high, holds), (then_low, then_high, then_holds) = (load for load in loads if load)
            assert then_low >= low * (1 - 1e-9)
            assert then_high >= high * (1 - 1e-9)
            assert holds or not then_holds
            steps += 1
            risen += then_high > high
    assert steps > 1000
    assert risen > steps / 4


def _with_web(question: Question, more: int) -> Question:
    bushings = tuple(
        replace(one, web=Length(one.web.nm + more)) for one in question.shelf.bushings if one.web is not None
    )
    return replace(question, shelf=replace(question.shelf, bushings=bushings))
