"""What the planner says to make: with it on the shelf the hub is possible, at the best and at the ends of its limits."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

import pytest

from broachplan.lengths import Length
from broachplan.planner.answer import Answer, Make
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import Broach, Bushing, Piece, Shim
from tests.referee.brute_force import Best, Question, best_plans, possible
from tests.referee.choices import Seeded
from tests.referee.compare import answered
from tests.referee.cribs import crib

MOODS = ("plain", "press", "column", "reading", "fits")
LEAST_WEB = Length.inches("1/16")
SHELVES = {Kind.BROACH: "broaches", Kind.BUSHING: "bushings", Kind.SHIM: "shims"}


def without(question: Question, kind: Kind, *tags: str) -> Question:
    """The crib without these pieces, or without any of the kind."""
    shelf, name = question.shelf, SHELVES[kind]
    left = tuple(piece for piece in getattr(shelf, name) if tags and piece.tag not in tags)
    return replace(question, shelf=replace(shelf, **{name: left}))


def short_of_a_piece(number: int) -> Question:
    """A crib without a kind of piece, or without one of its shims."""
    question, choose = crib(number, MOODS), Seeded(f"short {number}")
    missing = choose.of((Kind.BROACH, Kind.BUSHING, Kind.SHIM, Kind.SHIM, None))
    if missing is None:
        return question
    if missing is Kind.SHIM and question.shelf.shims:
        return without(question, missing, choose.of(question.shelf.shims).tag)
    return without(question, missing)


def made(make: Make, number: int, question: Question, figure: str = "", size: Length | None = None) -> Piece:
    """The piece at its best figures except one; a figure without limits is chosen as any shop would."""
    figures: dict[str, Length | int] = dict(make.best)
    if size is not None:
        figures[figure] = size
    tag = f"MADE-{number}"
    if make.kind is Kind.BUSHING:
        return Bushing(**{"tag": tag, "length": question.hub.cut_length} | figures)
    if make.kind is Kind.SHIM:
        return Shim(**{"tag": tag, "width": question.keyway.width.nominal - Length(127_000)} | figures)
    return Broach(tag=tag, rising_teeth=make.rising_teeth, **figures)


def with_pieces(question: Question, pieces: list[Piece]) -> Question:
    """The crib and these pieces."""
    shelf = question.shelf
    for piece in pieces:
        name = SHELVES[piece.kind]
        shelf = replace(shelf, **{name: (piece, *getattr(shelf, name))})
    return replace(question, shelf=shelf)


def ways(answer: Answer) -> list[list[Make]]:
    """What is to be made, by way: the pieces of one are needed together, the ways are alternatives."""
    grouped: dict[int, list[Make]] = {}
    for make in answer.make:
        grouped.setdefault(make.way, []).append(make)
    return list(grouped.values())


def all_at_best(way: list[Make], question: Question) -> list[Piece]:
    """The pieces of one way at their best figures."""
    return [made(make, number, question) for number, make in enumerate(way)]


def ends(way: list[Make], question: Question) -> Iterator[tuple[str, list[Piece]]]:
    """Each figure of a way at either end of its limits, all the rest at best."""
    best = all_at_best(way, question)
    for number, make in enumerate(way):
        for figure, limits in make.limits.items():
            for size in limits:
                piece = made(make, number, question, figure, size)
                yield f"{make.kind} {figure} {size.nm}", [*best[:number], piece, *best[number + 1 :]]


def readied(question: Question) -> Counter[str]:
    """The pieces to make for a crib, each way tried by itself."""
    answer = answered(question)
    if answer.ready:
        return Counter()
    for make in answer.make:
        assert make.text
        assert make.limits
        for figure, (lower, upper) in make.limits.items():
            assert lower <= make.best[figure] <= upper
    # What goes with another set-up is tried with it elsewhere.
    with_set_up = {advice.way for advice in answer.advice}
    for way in [makes for makes in ways(answer) if makes[0].way not in with_set_up]:
        finished = with_pieces(question, all_at_best(way, question))
        assert possible(finished)
        assert answered(finished).ready
        for end, pieces in ends(way, question):
            assert possible(with_pieces(question, pieces)), end
    return Counter(str(make.kind) for make in answer.make)


def test_what_is_made_readies_the_hub_at_its_best_and_at_both_ends_of_its_limits() -> None:
    seen: Counter[str] = Counter()
    for number in range(20):
        seen += readied(short_of_a_piece(number))
    assert {kind for kind in ("bushing", "shim", "broach") if seen[kind] < 3} == set()


@pytest.mark.parametrize("number", [1232, 1286])
def test_a_bushing_to_turn_for_a_broach_to_find_takes_the_shims_on_hand_at_both_ends_of_its_slot(
    number: int,
) -> None:
    assert readied(short_of_a_piece(number)) == {"broach": 1, "bushing": 1}


def names_one_to_make(question: Question, kind: Kind) -> bool:
    """Whether the crib is blocked without the piece its best plan begins with; if so the answer must name one to make."""
    plans = best_plans(question)
    if not any(_usual(question, plan, kind) for plan in plans):
        return False
    short = _without_the_piece(question, kind, plans[0])
    if possible(short):
        return False
    assert kind in {make.kind for make in answered(short).make}
    return True


@pytest.mark.parametrize("kind", [Kind.BUSHING, Kind.SHIM])
def test_a_crib_that_lost_the_piece_of_its_plan_is_advised_to_make_one(kind: Kind) -> None:
    assert sum(names_one_to_make(crib(number, MOODS), kind) for number in range(40)) > 7


def test_a_crib_that_lost_its_broaches_is_often_advised_which_to_look_for() -> None:
    # Many of the random broaches rise faster than a maker would let them, so that no usual one replaces them.
    seen: Counter[str] = Counter()
    for number in range(25):
        question = crib(number, MOODS)
        if possible(question):
            found = ways(answered(without(question, Kind.BROACH)))
            assert all(Kind.BROACH in {make.kind for make in way} for way in found)
            seen["shown" if found else "not shown"] += 1
    assert seen["shown"] > 6


@pytest.mark.nightly
def test_the_pieces_to_make_for_many_cribs_ready_their_hubs() -> None:
    for number in range(1_000, 1_400):
        readied(short_of_a_piece(number))
        for kind in (Kind.BUSHING, Kind.SHIM):
            names_one_to_make(crib(number, MOODS), kind)


def _without_the_piece(question: Question, kind: Kind, plan: Best) -> Question:
    if kind is not Kind.SHIM:
        return without(question, kind)
    return without(question, kind, *plan.stacks[-1][:1]) if plan.stacks[-1] else question


def _usual(question: Question, plan: Best, kind: Kind) -> bool:
    """Whether a shop would make such a piece: a web of some strength, a slot of the broach's width."""
    shelf = question.shelf
    broach = next(piece for piece in shelf.broaches if piece.tag == plan.broach)
    bushing = next(piece for piece in shelf.bushings if piece.tag == plan.bushing)
    handled = {tag for stack in plan.stacks for tag in stack}
    slot = max(broach.keyway_width, broach.body_width)
    slides = all(shim.width <= slot for shim in shelf.shims if shim.tag in handled)
    # Lower in a round bushing than this the slot's floor would break out at its sides.
    web, outside = bushing.web.nm, bushing.outside_diameter.nm
    floor_within = 4 * web * (outside - web) > bushing.slot_width.nm**2
    return kind is Kind.SHIM or (bushing.web >= LEAST_WEB and slides and floor_within)
