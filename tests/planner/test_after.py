"""After a reading: what it means, and what is left to do with the same broach and bushing."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from broachplan.cut.play import Span
from broachplan.errors import InputError
from broachplan.lengths import Length, Limits
from broachplan.planner.after import GaugeBands, PressReading, plain_reading, plan_after
from broachplan.planner.after_words import after_in_words
from broachplan.planner.answer import Answer, ReadingSays, Rule, Shims, Warn
from broachplan.planner.given import with_stacks
from broachplan.planner.plan import plan
from broachplan.planner.starting_point import (
    StartingPoint,
    on_next_hub,
    on_read_metal,
    with_other_pieces,
)
from broachplan.planner.tried import Trial
from broachplan.tooling.figures import Kind
from tests.planner.setups import BASE, MM, NM, SetUp, caution, only_rule, shim, warned, words_of

# No shim reads 25.2 mm, "a" 26.2, "a" and "b" 27.2, all three 28.1; the limits are 28.05 to 28.15.
A, B, C = BASE.shims
THICK = shim("t", MM(4))
ERROR = 10_000
UNDER, OVER = -20_000, 60_000


def bands(set_up: SetUp = BASE) -> GaugeBands:
    """Any stack reads from 0.02 mm under to 0.06 mm over its plain figure; the gauge is good to 0.01 mm."""

    def usual(stack: Shims) -> Span:
        plain = plain_reading(set_up.broach, set_up.bushing, stack).nm
        return Span(plain + UNDER, plain + OVER)

    return GaugeBands(usual, lambda _: Span(UNDER, OVER), ERROR, set_up.hub.bore.upper.nm)


def trial(set_up: SetUp = BASE, **more: Any) -> Trial:
    return Trial(set_up.hub, set_up.keyway, set_up.shelf, set_up.settings, **more)


def read(top: str, *stack: Any, bottom: str | None = None, set_up: SetUp = BASE, **more: Any) -> Answer:
    """What is left after a reading on a stack."""
    reading = PressReading(
        broach=set_up.broach,
        bushing=set_up.bushing,
        stack=stack,
        top=MM(top),
        bottom=None if bottom is None else MM(bottom),
        before=more.pop("before", None),
    )
    return plan_after(trial(set_up, **more), reading, bands(set_up))


def stacks(answer: Answer) -> list[list[str]]:
    return [[one.tag for one in each.stack] for each in answer.plans[0].passes]


def after(answer: Answer) -> Any:
    assert answer.after is not None
    return answer.after


# -- the offset ----------------------------------------------------------------------------------------------------


def test_a_reading_that_is_the_plain_one_leaves_the_rest_of_the_plan_as_it_was() -> None:
    whole = plan(BASE.hub, BASE.keyway, BASE.shelf, BASE.settings).plans[0]
    for done in range(1, len(whole.passes)):
        at = whole.passes[done - 1]
        rest = read(str(at.reading.in_mm), *at.stack).plans[0]

        assert [one.stack for one in rest.passes] == [one.stack for one in whole.passes[done:]]
        assert [one.reading for one in rest.passes] == [one.reading for one in whole.passes[done:]]
        assert [one.first_bite for one in rest.passes] == [one.first_bite for one in whole.passes[done:]]
        assert [one.force_high for one in rest.passes] == pytest.approx(
            [one.force_high for one in whole.passes[done:]]
        )
        assert rest.press == whole.press


def test_what_a_reading_is_deeper_by_is_added_to_every_later_reading() -> None:
    answer = read("26.24", A)

    assert after(answer).outcome is ReadingSays.SHORT
    assert after(answer).offset == MM("0.04")
    assert stacks(answer) == [["a", "b"], ["a", "b", "c"]]
    assert [one.reading for one in answer.plans[0].passes] == [MM("27.24"), MM("28.14")]


def test_a_later_reading_replaces_the_offset_and_is_not_added_to_it() -> None:
    # Pass 2 read 0.04 deep, pass 3 reads 0.01 deep: what counts is the plain reading of pass 3 alone.
    assert after(read("26.24", A)).offset == MM("0.04")
    later = read("27.21", A, B, before=MM("26.24"))

    assert after(later).offset == MM("0.01")
    assert later.plans[0].reading == MM("28.11")


def test_a_remeasured_web_sets_the_offset_anew_and_the_metal_stays_where_it_is() -> None:
    thicker = BASE.but(bushing={"web": MM("12.03")})
    was, now = read("26.24", A), read("26.24", A, set_up=thicker)

    assert after(was).offset == MM("0.04")
    assert after(now).offset == MM("0.01")
    assert was.plans[0].passes[0].reading == now.plans[0].passes[0].reading == MM("27.24")


@given(st.integers(-40_000, 40_000), st.sampled_from([(), (A,), (A, B)]))
@hypothesis_settings(max_examples=20, deadline=None)
def test_an_offset_and_limits_shifted_alike_change_no_pass(shift: int, stack: tuple[Any, ...]) -> None:
    plain = plain_reading(BASE.broach, BASE.bushing, stack)
    moved = BASE.but(keyway=_shifted(BASE, shift))

    def rest(set_up: SetUp, nm: int) -> list[Any]:
        start = on_read_metal(plain.nm, nm)
        (found,) = plan(set_up.hub, set_up.keyway, set_up.shelf, set_up.settings, start=start).plans
        return [(one.stack, one.first_bite, one.largest_bite, one.teeth_cutting) for one in found.passes]

    assert rest(moved, plain.nm + shift) == rest(BASE, plain.nm)


def _shifted(set_up: SetUp, nm: int) -> Any:
    by, reading = Length(nm), set_up.keyway.reading
    limits = Limits(reading.nominal + by, reading.lower + by, reading.upper + by)
    return replace(set_up.keyway, reading=limits, aim=set_up.keyway.aim + by)


# -- two ends --------------------------------------------------------------------------------------------------------


def test_two_ends_are_planned_as_two_ends_and_not_as_their_mean() -> None:
    # One end 0.06 deep, one as planned: the mean of all three shims, 28.13, lies within, and the deep end would be at 28.16.
    ends = read("26.26", A, bottom="26.2")

    assert only_rule(ends) is Rule.READING
    assert after(ends).offset == MM("0.03")
    assert (after(ends).offset_top, after(ends).offset_bottom) == (MM("0.06"), NM - NM)
    assert read("26.23", A).ready


def test_a_stack_is_allowed_up_to_where_its_deeper_end_meets_the_limit() -> None:
    at_limit, past_it = read("26.25", A, bottom="26.2"), read("26.250001", A, bottom="26.2")

    assert at_limit.plans[0].reading == MM("28.125")
    assert not past_it.ready


def test_a_stack_is_allowed_down_to_where_its_shallower_end_meets_the_limit() -> None:
    at_limit, short_of_it = read("26.2", A, bottom="26.15"), read("26.2", A, bottom="26.149999")

    assert at_limit.plans[0].reading == MM("28.075")
    assert not short_of_it.ready


def test_the_nearest_to_the_aim_is_taken_of_the_mean_of_both_ends() -> None:
    # With 0.02 deep in the mean 2.88 mm of shims lie on the aim, and 2.9 mm do without an offset.
    thinner = BASE.but(shims=(*BASE.shims, shim("d", MM("0.88"))))

    assert stacks(read("26.23", A, bottom="26.21", set_up=thinner))[-1] == ["a", "b", "d"]
    assert stacks(read("26.21", A, bottom="26.19", set_up=thinner))[-1] == ["a", "b", "c"]


def test_two_ends_a_nanometre_apart_are_shown_by_their_half_even_mean() -> None:
    plain = MM("26.2").nm
    assert on_read_metal(plain, plain, plain + 1).offset_nm == 0
    assert on_read_metal(plain, plain + 2, plain + 1).offset_nm == 2


# -- the next bite -----------------------------------------------------------------------------------------------------


def test_the_bite_after_a_reading_is_taken_from_the_metal_and_is_as_long_as_any_other() -> None:
    # 13.2 - 12 mm and a rise of 0.05: 1.25 mm a pass at most.
    longest = BASE.but(shims=(A, shim("l", MM("2.25")), shim("m", MM("2.9"))))
    one_over = BASE.but(shims=(A, shim("l", MM("2.25") + NM), shim("m", MM("2.9"))))

    assert stacks(read("26.23", A, set_up=longest)) == [["l"], ["m"]]
    assert only_rule(read("26.23", A, set_up=one_over)) is Rule.BITE


def test_another_bushing_goes_on_from_the_metal_without_an_offset() -> None:
    # A web of 12.5 makes 25.7 + shims. From metal at 26.2 its first pass comes to 27.45 at most: shims of 1.75 mm.
    other = BASE.but(
        bushing={"tag": "H", "web": MM("12.5")}, shims=(shim("s", MM("1.75")), shim("u", MM("2.4")))
    )
    start = with_other_pieces(MM("26.2").nm)

    found = plan(other.hub, other.keyway, other.shelf, other.settings, start=start).plans[0]

    assert [one.shims for one in found.passes] == [MM("1.75"), MM("2.4")]
    one_over = other.but(shims=(shim("s", MM("1.75") + NM), shim("u", MM("2.4"))))
    assert not plan(other.hub, other.keyway, one_over.shelf, other.settings, start=start).ready


def test_another_pair_goes_on_from_the_shallower_of_two_ends() -> None:
    assert with_other_pieces(26_200_000, 26_190_000) == StartingPoint(26_190_000, 0, 0)


def test_a_push_after_a_reading_takes_metal() -> None:
    # The same shims again cut nothing; a bushing with a thinner web may clear the metal.
    clear = BASE.but(
        bushing={"web": MM("11")},
        shims=(shim("s", MM("2")), shim("u", MM("2") + NM), shim("v", MM("3.1")), shim("w", MM("3.9"))),
    )
    start = with_other_pieces(MM("26.2").nm)

    found = plan(clear.hub, clear.keyway, clear.shelf, clear.settings, start=start).plans[0]

    assert found.passes[0].shims > MM("2")


def test_a_press_that_cannot_take_the_step_is_named_after_a_reading_too() -> None:
    weak = BASE.but(press={"rated_force": replace(BASE.press.rated_force, mn=900_000)})

    answer = read("26.2", A, set_up=weak)

    assert only_rule(answer) is Rule.PRESS_FORCE


# -- a new hub with an offset learnt ----------------------------------------------------------------------------------


def test_the_next_hub_expects_what_the_hubs_before_read() -> None:
    found = plan(BASE.hub, BASE.keyway, BASE.shelf, BASE.settings, start=on_next_hub(30_000)).plans[0]

    assert [one.reading for one in found.passes] == [MM("25.23"), MM("26.23"), MM("27.23"), MM("28.13")]


def test_the_first_bite_of_the_next_hub_does_not_count_on_a_shallow_offset() -> None:
    # First metal is at 24.5 and a rise is 0.05, so that web and shims may be 12.55 at most.
    snug = BASE.but(
        bushing={"web": MM("12.55")}, shims=(shim("a", MM(1)), shim("b", MM(1)), shim("c", MM("0.35")))
    )

    def next_hub(offset: int, set_up: SetUp) -> bool:
        start = on_next_hub(offset)
        return plan(set_up.hub, set_up.keyway, set_up.shelf, set_up.settings, start=start).ready

    assert next_hub(0, snug)
    assert next_hub(-10_000, snug)
    assert not next_hub(1, snug)
    assert not next_hub(-10_000, snug.but(bushing={"web": MM("12.55") + NM}))


def test_a_shallow_offset_learnt_is_warned_of_where_the_plain_reading_is_past_the_limit() -> None:
    # 2.96 mm read 28.16 plain, and 28.14 where the hubs before came out 0.02 shallow.
    risky = BASE.but(shims=(A, B, shim("c", MM("0.96"))))

    def cautions(set_up: SetUp) -> set[Warn]:
        start = on_next_hub(-20_000)
        return warned(plan(set_up.hub, set_up.keyway, set_up.shelf, set_up.settings, start=start))

    assert Warn.OFFSET_MAY_VANISH in cautions(risky)
    assert Warn.OFFSET_MAY_VANISH not in cautions(BASE)


# -- what a reading says ----------------------------------------------------------------------------------------------

DEEPER = BASE.but(shims=(*BASE.shims, THICK))


def test_within_the_limits_nothing_is_left_to_do() -> None:
    for at in ("28.05", "28.15"):
        answer = read(at, A, B, C)

        assert answer.ready
        assert after(answer).outcome is ReadingSays.WITHIN
        (done,) = answer.plans
        assert done.passes == ()
        assert (done.reading, done.band) == (MM(at), (MM(at) - Length(ERROR), MM(at) + Length(ERROR)))
        assert "nothing is left to do" in after_in_words(answer)


def test_past_the_limit_says_by_how_much_and_what_it_means() -> None:
    answer = read("28.17", A, B, C, set_up=DEEPER)

    assert after(answer).outcome is ReadingSays.PAST
    assert only_rule(answer) is Rule.READING
    said = words_of(answer, Rule.READING)
    assert "0.0008 in past the limit" in said
    assert "more air over the key" in said
    assert "less wall over the keyway" in said


def test_one_end_past_and_one_short_is_past_and_names_the_end() -> None:
    answer = read("28.0", A, B, C, bottom="28.16", set_up=DEEPER)

    assert after(answer).outcome is ReadingSays.PAST
    assert "at the bottom" in words_of(answer, Rule.READING)


def test_one_end_within_and_one_short_is_short() -> None:
    answer = read("28.1", A, B, C, bottom="28.04", set_up=DEEPER)

    assert after(answer).outcome is ReadingSays.SHORT


def test_short_with_no_shim_to_go_on_says_which_shim_to_cut_and_it_does() -> None:
    answer = read("28.04", A, B, C)

    assert after(answer).outcome is ReadingSays.SHORT
    assert not answer.ready
    (made,) = answer.make
    assert made.kind is Kind.SHIM
    cut = replace(BASE, shims=(*BASE.shims, shim("n", made.best["thickness"])))
    assert read("28.04", A, B, C, set_up=cut).ready


def test_no_bushing_is_turned_for_a_hub_in_work() -> None:
    bare = BASE.but(shims=(A,))

    assert {made.kind for made in read("26.2", A, set_up=bare).make} <= {Kind.SHIM}


# -- doubtful ---------------------------------------------------------------------------------------------------------


def test_a_reading_within_its_band_and_the_gauges_error_is_not_doubtful() -> None:
    for at in ("26.17", "26.27"):
        assert not after(read(at, A, set_up=DEEPER)).doubtful
    for at in ("26.169999", "26.270001"):
        assert after(read(at, A, set_up=DEEPER)).doubtful


def test_a_doubtful_reading_is_planned_all_the_same_and_says_as_what_it_reads() -> None:
    # A and C make 27.1: someone reached for the wrong shim.
    answer = read("27.15", A, B, set_up=DEEPER)

    assert after(answer).doubtful
    assert after(answer).reads_as == ((A, C), (B, C))
    assert Warn.READING_DOUBTFUL in warned(answer)
    assert "as if this were in: a, c or b, c" in caution(answer, Warn.READING_DOUBTFUL)


def test_no_stack_is_named_and_no_push_offered_where_two_ends_were_read() -> None:
    answer = read("27.11", A, B, bottom="27.12", set_up=DEEPER)

    assert after(answer).doubtful
    assert after(answer).reads_as == ()
    assert after(answer).push_again is None


def test_one_end_off_its_band_makes_two_ends_doubtful() -> None:
    assert after(read("26.2", A, bottom="26.28", set_up=DEEPER)).doubtful


# -- a second push ----------------------------------------------------------------------------------------------------


def test_a_shallow_reading_may_come_up_to_the_plain_one_by_a_second_push() -> None:
    assert after(read("26.19", A)).push_again == (MM("26.19"), MM("26.2"))
    assert after(read("26.2", A)).push_again is None
    assert after(read("26.21", A)).push_again is None


def test_no_second_push_is_offered_where_nothing_is_left_to_do() -> None:
    assert after(read("28.08", A, B, C)).push_again is None


def test_a_shallow_offset_that_would_carry_the_last_pass_past_the_limit_is_warned_of() -> None:
    # 2.96 mm read 28.16 plain: past 28.15 unless they come out as shallow as pass 2 did.
    risky = BASE.but(shims=(A, B, shim("c", MM("0.96"))))

    assert Warn.OFFSET_MAY_VANISH in warned(read("26.18", A, set_up=risky))
    assert Warn.OFFSET_MAY_VANISH not in warned(read("26.19", A))


def test_a_shallow_offset_that_would_make_the_first_tooth_bite_too_much_is_warned_of() -> None:
    # A step of 1.25 is the most there is; without the offset it would be 1.25 + 0.01.
    long = BASE.but(shims=(A, shim("l", MM("2.25")), shim("m", MM("0.65"))))

    assert Warn.OFFSET_MAY_VANISH in warned(read("26.19", A, set_up=long))
    assert Warn.OFFSET_MAY_VANISH not in warned(read("26.2", A, set_up=long))


# -- what cannot be ---------------------------------------------------------------------------------------------------


def test_a_floor_that_is_not_past_the_bore_cannot_be_gauged_yet() -> None:
    low = BASE.but(bushing={"web": MM("11.8")})

    with pytest.raises(InputError, match="run the next pass"):
        read("25.01", set_up=low)


def test_a_reading_of_the_bore_itself_cannot_be() -> None:
    with pytest.raises(InputError, match="more than the bore"):
        read("25", A)


def test_a_reading_under_the_one_before_by_more_than_two_errors_of_the_gauge_cannot_be() -> None:
    assert read("26.18", A, before=MM("26.2"))
    with pytest.raises(InputError, match="takes metal away"):
        read("26.179999", A, before=MM("26.2"))


def test_a_reading_over_the_thickest_stack_cannot_be() -> None:
    # All three reach 28.1, 28.16 at most, and the gauge may add 0.01.
    assert after(read("28.17", A, B, C)).outcome is ReadingSays.PAST
    with pytest.raises(InputError, match=r"the thickest stack the crib has \(a, b, c\)"):
        read("28.170001", A, B, C)
    assert after(read("28.170001", A, B, C, set_up=DEEPER)).outcome is ReadingSays.PAST


def test_an_impossible_end_is_named() -> None:
    with pytest.raises(InputError, match="bottom"):
        read("26.2", A, bottom="24")


def test_a_shim_that_is_lent_counts_among_what_may_have_been_in() -> None:
    lent = DEEPER.but(off={"t": "lent to Ann"})

    assert after(read("28.170001", A, B, C, set_up=lent)).outcome is ReadingSays.PAST


# -- stacks that are given --------------------------------------------------------------------------------------------


def test_the_stacks_of_a_plan_worked_out_as_given_are_the_plan() -> None:
    best = plan(BASE.hub, BASE.keyway, BASE.shelf, BASE.settings).plans[0]

    given_stacks = with_stacks(trial(), BASE.broach, BASE.bushing, [one.stack for one in best.passes])

    assert given_stacks.lawful
    assert given_stacks.plan == best


def test_stacks_are_kept_as_they_were_given_although_another_shim_would_be_named_first() -> None:
    found = with_stacks(trial(), BASE.broach, BASE.bushing, [(), (B,), (B, A), (B, A, C)])

    assert found.lawful
    assert [one.tag for one in found.plan.passes[1].stack] == ["b"]


@pytest.mark.parametrize(
    ("given_stacks", "start", "rule"),
    [
        ([(A,), (A, B), (A, B, C)], StartingPoint(), Rule.ENTRY),
        ([(), (A, B), (A, B, C)], StartingPoint(), Rule.BITE),
        ([(), (A,), (A, B)], StartingPoint(), Rule.READING),
        ([(A, B, C)], on_read_metal(26_200_000, 26_200_000), Rule.BITE),
        ([(A, B), (A, B, C)], on_read_metal(26_200_000, 26_250_001), Rule.READING),
        ([(A, B), (A, B, C)], on_read_metal(26_200_000, 26_250_001, 26_200_000), Rule.READING),
    ],
)
def test_the_rule_that_given_stacks_break_is_named(
    given_stacks: Any, start: StartingPoint, rule: Rule
) -> None:
    found = with_stacks(trial(start=start), BASE.broach, BASE.bushing, given_stacks)

    assert {reason.rule for reason in found.broken} == {rule}


def test_a_given_stack_with_a_lent_shim_or_a_press_too_small_breaks_its_rule() -> None:
    whole = [(), (A,), (A, B), (A, B, C)]
    lent = with_stacks(trial(BASE.but(off={"b": "lent to Ann"})), BASE.broach, BASE.bushing, whole)
    weak = BASE.but(press={"rated_force": replace(BASE.press.rated_force, mn=2_500_000)})
    pressed = with_stacks(trial(weak), BASE.broach, BASE.bushing, whole)

    assert {reason.rule for reason in lent.broken} == {Rule.ON_SHELF}
    assert {reason.rule for reason in pressed.broken} == {Rule.PRESS_FORCE}
