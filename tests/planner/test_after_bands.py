"""A reading judged by how well the pieces are known: doubtful or not, what it reads like, and whether the ends agree."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from random import Random
from typing import Any

import pytest

from broachplan.crib.records import Measurement
from broachplan.cut.play import Span
from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.planner.after import PressReading
from broachplan.planner.after_bands import answer_after
from broachplan.planner.after_words import after_in_words
from broachplan.planner.answer import AfterReading, Answer, Shims, Warn
from broachplan.planner.certainty import Certainty, PriorReading, Setup
from broachplan.planner.reads_as import MOST_NAMED, nearest_stacks
from broachplan.planner.tried import Trial
from broachplan.tooling.pieces import Shim
from tests.planner.setups import BASE, MM, NM, SetUp, caution, limits, shim, warned

A, B, C = BASE.shims
# Room above every stack that is asked about, so that no reading is refused as more than the thickest.
DEEPER = BASE.but(shims=(*BASE.shims, shim("t", MM(4))))


def trial(set_up: SetUp) -> Trial:
    shelf = set_up.shelf
    pieces = (*shelf.broaches, *shelf.bushings, *shelf.shims)
    measured = {piece.tag: set_up.how for piece in pieces} | set_up.measured
    return Trial(set_up.hub, set_up.keyway, replace(shelf, measured=measured), set_up.settings)


def certainty(set_up: SetUp) -> Certainty:
    asked = trial(set_up)
    return Certainty(asked.hub, asked.settings, asked.shelf.measured)


def read(
    top: Length, *stack: Shim, bottom: Length | None = None, set_up: SetUp = DEEPER, **more: Any
) -> Answer:
    reading = PressReading(broach=set_up.broach, bushing=set_up.bushing, stack=stack, top=top, bottom=bottom)
    return answer_after(trial(set_up), reading, **more)


def after(answer: Answer) -> AfterReading:
    assert answer.after is not None
    return answer.after


def usual(set_up: SetUp, *stack: Shim, gauged: PriorReading | None = None) -> Span:
    found = certainty(set_up).budget(Setup(set_up.broach, set_up.bushing, stack), gauged)
    return Span(found.low, found.high)


def test_a_reading_is_doubtful_a_nanometre_beyond_its_band_and_the_gauge() -> None:
    gauge = DEEPER.settings.error_reading.nm
    low, high = usual(DEEPER, A)

    for nm, doubtful in (
        (low - gauge, False),
        (high + gauge, False),
        (low - gauge - 1, True),
        (high + gauge + 1, True),
    ):
        assert after(read(Length(nm), A)).doubtful is doubtful


def test_pieces_that_were_measured_badly_make_fewer_readings_doubtful() -> None:
    rough = DEEPER.but(how=Measurement("ruler"))
    gauge = DEEPER.settings.error_reading.nm
    beyond = Length(usual(DEEPER, A)[1] + gauge + 1)

    assert after(read(beyond, A)).doubtful
    assert not after(read(beyond, A, set_up=rough)).doubtful


def test_a_second_reading_is_compared_with_what_the_first_let_expect() -> None:
    # Nobody knows how broach and bushing were measured. Read 0.02 deep on A they cancel: B on top of it is expected as deep.
    rough = DEEPER.but(measured={"K": Measurement(), "G": Measurement()})
    first = PriorReading((A,), MM("0.02"))
    alone, then = usual(rough, A, B), usual(rough, A, B, gauged=first)
    gauge = rough.settings.error_reading.nm
    at = Length(then.least - gauge - 1)
    assert alone.least < at.nm

    assert not after(read(at, A, B, set_up=rough)).doubtful
    assert after(read(at, A, B, set_up=rough, earlier=first)).doubtful


def test_the_band_after_a_reading_is_about_what_it_lets_expect() -> None:
    answer = read(MM("26.21"), A)

    for one in answer.plans[0].passes:
        assert one.band is not None
        gauged = PriorReading((A,), MM("0.01"))
        assert (one.band.low.nm, one.band.high.nm) == usual(DEEPER, *one.stack, gauged=gauged)


def test_nothing_left_is_as_sure_as_the_gauge() -> None:
    (done,) = read(MM("28.1"), A, B, C).plans

    assert done.band is not None
    assert (done.band.low, done.band.high) == (MM("28.09"), MM("28.11"))


# -- as what it reads --------------------------------------------------------------------------------------------------


def nearest_by_trying_all(set_up: SetUp, nm: int) -> tuple[Shims, ...]:
    """The model's words: every stack of at most four, the nearest five in whose widened band the reading lies."""
    sure, gauge = certainty(set_up), set_up.settings.error_reading.nm
    found = []
    for count in range(set_up.settings.stack_most + 1):
        for stack in combinations(sorted(set_up.shims, key=lambda one: one.tag), count):
            setup = Setup(set_up.broach, set_up.bushing, stack)
            budget = sure.budget(setup)
            if budget.low - gauge <= nm <= budget.high + gauge:
                found.append((abs(nm - setup.plain.nm), count, [one.tag for one in stack], stack))
    return tuple(one[3] for one in sorted(found, key=lambda one: one[:3])[:5])


def test_a_doubtful_reading_names_the_five_stacks_that_trying_all_of_them_finds() -> None:
    named: set[int] = set()
    for number in range(40):
        random = Random(number)
        step = random.choice((1_000, 2_540, 10_000))
        sizes = [random.randint(1, 1_200_000 // step) * step for _ in range(random.randint(3, 8))]
        shims = tuple(shim(f"s{i}", Length(nm)) for i, nm in enumerate((*sizes, sizes[0])))
        hows = [Measurement(with_what) for with_what in ("micrometer", "caliper", "")]
        made = BASE.but(
            shims=(*shims, shim("t", MM(4))), measured={one.tag: random.choice(hows) for one in shims}
        )
        stack = tuple(sorted(random.sample(shims, random.randint(0, 3)), key=lambda one: one.tag))
        plain = Setup(made.broach, made.bushing, stack).plain.nm
        read_nm = plain + random.choice((-1, 1)) * random.randint(100_000, 900_000)
        if read_nm <= made.hub.bore.upper.nm:
            continue

        found = after(read(Length(read_nm), *stack, set_up=made))

        if found.doubtful:
            assert found.reads_as == nearest_by_trying_all(made, read_nm)
            named.add(len(found.reads_as))
    assert {0, MOST_NAMED} < named


def test_of_two_hundred_shims_the_nearest_five_are_found_without_trying_all() -> None:
    # 64 million stacks of four; every total near the reading is made by thousands of them.
    shims = [shim(f"s{i:03}", Length(2_540 * (1 + i * 7 % 200))) for i in range(200)]

    found = nearest_stacks(
        shims, 4, 25_200_000, 26_000_000, lambda _stack, _nm: True, lambda _count: Span(-50_000, 50_000)
    )

    # 0.8 mm lies between 314 and 315 steps of 0.00254: 315 is the nearer, made by two shims first.
    assert [sum(one.thickness.nm for one in stack if one.thickness) for stack in found] == [315 * 2_540] * 5
    assert {len(stack) for stack in found} == {2}
    assert list(found) == sorted(found, key=lambda stack: [one.tag for one in stack])


# -- two ends ----------------------------------------------------------------------------------------------------------


def test_ends_as_far_apart_as_play_and_gauge_explain_agree_and_a_nanometre_more_does_not() -> None:
    # Play 0.02 mm in a hub that is no longer than its bushing, and 0.01 mm of the gauge at each end: 0.04 mm.
    agree = read(MM("26.2"), A, bottom=MM("26.24"))
    differ = read(MM("26.2"), A, bottom=MM("26.24") + NM)

    assert Warn.ENDS_DIFFER not in warned(agree)
    assert Warn.ENDS_DIFFER in warned(differ)
    assert "not square" in caution(differ, Warn.ENDS_DIFFER)


# -- the words ---------------------------------------------------------------------------------------------------------


def test_what_stays_as_planned_is_said_in_one_sentence() -> None:
    answer = read(MM("27.22"), A, B)

    assert after(answer).planned == ((A, B, C),)
    assert (
        after_in_words(answer)
        == "0.0008 in deep; the pass that is left stays as planned, still inside the limits"
    )
    assert after_in_words(answer, 3) == "0.0008 in deep; pass 4 stays as planned, still inside the limits"
    assert "passes 3 to 4 stay as planned" in after_in_words(read(MM("26.22"), A), 2)


def test_what_is_planned_again_says_whether_the_old_plan_still_holds() -> None:
    # 0.04 deep: 2.9 mm come out at 28.14, still inside; 2.86 mm at the aim.
    nearer = DEEPER.but(shims=(*DEEPER.shims, shim("d", MM("0.86"))))
    answer = read(MM("27.24"), A, B, set_up=nearer)

    assert after(answer).planned == ((A, B, C),)
    assert "as planned (a + b + c) it still comes out inside the limits" in after_in_words(answer)
    over = read(MM("27.26"), A, B, set_up=nearer)
    assert after(over).planned == ()
    assert "planned again: 1 pass left" in after_in_words(over)


def test_a_shallow_reading_is_called_shallow_and_two_ends_are_both_named() -> None:
    assert after_in_words(read(MM("26.18"), A)).startswith("0.0008 in shallow; ")
    ends = after_in_words(read(MM("26.18"), A, bottom=MM("26.2")))
    assert ends.startswith("top 0.0008 in shallow, bottom reads as planned; ")


# -- when it can be gauged ---------------------------------------------------------------------------------------------


def test_a_floor_past_the_measured_bore_can_be_gauged_although_the_bore_might_have_been_wider() -> None:
    # The bare slot reads 25.2 mm; the bore may be up to 25.2 mm, and is 25.
    wide = DEEPER.but(hub={"bore": limits(MM(25), MM("25.2"))})
    measured = wide.but(hub={"bore_measured": MM(25)})

    with pytest.raises(InputError, match="run the next pass"):
        read(MM("25.2"), set_up=wide)
    assert read(MM("25.2"), set_up=measured).ready


# -- pieces that cannot have been pushed -------------------------------------------------------------------------------


def test_a_bushing_that_does_not_go_into_the_bore_was_not_the_one_that_was_used() -> None:
    with pytest.raises(InputError, match="does not go into a bore"):
        read(MM("26.2"), A, set_up=DEEPER.but(bushing={"outside_diameter": MM("25.001")}))


def test_a_piece_without_its_figures_has_no_plain_reading() -> None:
    with pytest.raises(InputError, match="bushing G: not measured: web"):
        read(MM("26.2"), A, set_up=DEEPER.but(bushing={"web": None}))
