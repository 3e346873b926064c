"""The band of a reading: what is in it, how it is put together, and what to measure first."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from broachplan.cut.budget import (
    PieceWithin,
    Stack,
    StackPart,
    StackReading,
    budget_after,
    budget_of,
    budget_read,
)
from broachplan.cut.how_measured import Within
from broachplan.cut.measure_first import MeasureFirst, OpenBand, measure_first
from broachplan.cut.play import Play, Span
from broachplan.cut.quantiles import quantile

UM = 1_000
PLAIN = 28_100_000
NO_PLAY = Play.of(0, 17_000_000, 20_000_000)
GAUGE = Within(10 * UM, "test")
FINE = Within(5 * UM, "test")


def known(what: StackPart, tag: str, um: int) -> PieceWithin:
    return PieceWithin(what, tag, Within(um * UM, "test"))


def shims(*um: int, tags: str = "abcd") -> tuple[PieceWithin, ...]:
    return tuple(known(StackPart.SHIM, tag, each) for tag, each in zip(tags, um, strict=False))


def stack(
    *um: int, broach: int = 5, bushing: int = 5, film: int = 5, play: Play = NO_PLAY, tags: str = "abcd"
) -> Stack:
    pieces = (known(StackPart.BROACH, "K", broach), known(StackPart.BUSHING, "G", bushing))
    return Stack(pieces, shims(*um, tags=tags), play, Within(film * UM, "test"))


def read(on: Stack, offset: int = 0, *, doubtful: bool = False) -> StackReading:
    return StackReading(on.shims, offset, GAUGE, doubtful)


def test_each_piece_may_be_off_either_way_and_oil_only_lifts() -> None:
    found = budget_of(PLAIN, stack(10, 20, 30))

    assert [(term.what, term.tag, term.from_nm, term.to_nm) for term in found.terms] == [
        ("broach", "K", -5 * UM, 5 * UM),
        ("bushing", "G", -5 * UM, 5 * UM),
        ("shim", "a", -10 * UM, 10 * UM),
        ("shim", "b", -20 * UM, 20 * UM),
        ("shim", "c", -30 * UM, 30 * UM),
        # Slot floor, two between the shims, broach back.
        *[("joint", None, 0, 5 * UM)] * 4,
    ]


def test_a_ring_is_one_piece_and_one_joint_more() -> None:
    ringed = stack(10)
    ringed = replace(ringed, pieces=(*ringed.pieces, known(StackPart.RING, "R", 5)))

    terms = budget_of(PLAIN, ringed).terms

    assert [term.what for term in terms].count(StackPart.JOINT) == 3
    assert StackPart.RING in {term.what for term in terms}


def test_the_band_of_one_term_is_the_middle_nineteen_twentieths_of_it() -> None:
    # A web known to 50 um and all else exact: 95 of 100 lie within 47.5 um.
    found = budget_of(PLAIN, stack(broach=0, bushing=50, film=0))

    assert (found.low, found.high) == (PLAIN - 47_500, PLAIN + 47_500)


def test_two_micrometers_on_an_oiled_slot_floor_by_hand() -> None:
    """Widths 10, 10 and 5 um, counted from the least, -10 um.

    F(x) = x^3 / (6 x 10 x 10 x 5) as long as x <= 5: at 5 it is 125/3000 = 0.0417, so 2.5 in 100 lie under the cube root
    of 75 = 4.2172 um. The sum is symmetric about 12.5 um.
    """
    found = budget_of(PLAIN, stack())

    assert found.low == PLAIN - 10_000 + 4_218  # the whole nanometre at or above 4217.163
    assert found.high == PLAIN - 10_000 + 25_000 - 4_217


def test_play_is_added_whole_on_the_deep_side_and_is_no_random_term() -> None:
    tight, loose = (
        budget_of(PLAIN, stack(5)),
        budget_of(PLAIN, stack(5, play=Play.of(40 * UM, 17_000_000, None))),
    )

    assert loose.terms == tight.terms
    assert (loose.low, loose.high) == (tight.low, tight.high + 40 * UM)
    assert loose.gap == Span(0, 40 * UM)


def test_the_shares_are_of_the_squares_and_make_one() -> None:
    found = budget_of(PLAIN, stack(broach=5, bushing=20, film=0))

    assert found.shares == (Fraction(1, 17), Fraction(16, 17))
    assert budget_of(PLAIN, stack(broach=0, bushing=0, film=0)).shares == (0, 0)


def test_after_a_reading_what_is_in_both_stacks_cancels() -> None:
    was, now = stack(50, 5), stack(50, 7, tags="ac")

    found = budget_after(PLAIN, now, read(was, doubtful=True))

    # Shim b was taken out and c put in; three joints then and three now; the gauge.
    assert [(term.what, term.tag, term.from_nm, term.to_nm) for term in found.terms] == [
        ("shim", "b", -5 * UM, 5 * UM),
        ("shim", "c", -7 * UM, 7 * UM),
        *[("joint", None, 0, 5 * UM)] * 3,
        *[("joint", None, -5 * UM, 0)] * 3,
        ("gauge", None, -10 * UM, 10 * UM),
    ]


def test_a_shim_that_was_measured_again_between_two_pushes_still_cancels() -> None:
    was, now = stack(50), stack(5)

    assert not [term for term in budget_after(PLAIN, now, read(was)).terms if term.what is StackPart.SHIM]


def test_after_a_reading_the_same_stack_is_known_to_the_gauge_and_the_oil() -> None:
    dry = stack(30, broach=50, bushing=50, film=0)

    found = budget_after(PLAIN, dry, read(dry, 7 * UM))

    # The gauge alone, at the 1.25th and the 98.75th of 100: 9.75 um either way; the band before reaches much farther.
    assert (found.low, found.expected, found.high) == (
        PLAIN + 7_000 - 9_750,
        PLAIN + 7_000,
        PLAIN + 7_000 + 9_750,
    )


def test_the_play_may_be_another_one_after_a_reading() -> None:
    loose = stack(5, play=Play.of(40 * UM, 17_000_000, None))

    assert budget_after(PLAIN, loose, read(loose)).gap == Span(-40 * UM, 40 * UM)


def test_two_bands_meet_at_the_tighter_end_of_each() -> None:
    was, now = stack(5), stack(5, 5)
    offset = 4 * UM
    alone = budget_after(PLAIN, now, read(was, offset, doubtful=True))
    before = budget_of(PLAIN, now)
    low, high = ends(before.terms, 80)
    low_after, high_after = ends(alone.terms, 80)

    found = budget_after(PLAIN, now, read(was, offset))

    assert found.low == max(PLAIN + low, PLAIN + offset + low_after)
    assert found.high == min(PLAIN + high, PLAIN + offset + high_after)
    assert found.expected == PLAIN + offset


def ends(terms, parts):  # type: ignore[no-untyped-def]
    widths = [term.width for term in terms]
    least = sum(term.from_nm for term in terms)
    return least + quantile(widths, 1, parts), least + quantile(widths, parts - 1, parts)


def test_a_doubtful_reading_or_one_far_from_the_band_before_counts_alone_at_95_of_100() -> None:
    was = stack(5)
    low, high = ends(budget_after(PLAIN, was, read(was, doubtful=True)).terms, 40)

    for reading in (read(was, 0, doubtful=True), read(was, 900 * UM)):
        found = budget_after(PLAIN, was, reading)
        assert (found.low, found.high) == (PLAIN + reading.offset + low, PLAIN + reading.offset + high)


um = st.integers(1, 60)
stacks = st.builds(
    lambda sizes, broach, bushing, film, room: stack(
        *sizes, broach=broach, bushing=bushing, film=film, play=Play.of(room * UM, 17_000_000, None)
    ),
    st.lists(um, max_size=4), um, um, st.integers(0, 10), st.integers(0, 100),
)  # fmt: skip


@given(stacks, st.lists(um, max_size=4), st.integers(-40 * UM, 40 * UM))
def test_a_reading_never_makes_the_tool_less_sure(now: Stack, others: list[int], offset: int) -> None:
    before = budget_of(PLAIN, now)
    was = replace(now, shims=shims(*others, tags="cdef"))
    low, high = ends(before.terms, 80)

    found = budget_after(PLAIN, now, read(was, offset))

    alone = budget_after(PLAIN, now, read(was, offset, doubtful=True))
    within_before = (
        PLAIN + low + before.gap.least <= found.low <= found.high <= PLAIN + high + before.gap.most
    )
    assert within_before or (found.low, found.high) == (alone.low, alone.high)


@given(stacks, st.integers(1, 60))
def test_what_is_known_less_well_never_gives_a_narrower_band(known_well: Stack, more: int) -> None:
    worse = replace(
        known_well,
        pieces=tuple(
            piece._replace(within=Within(piece.within.nm + more * UM, "")) for piece in known_well.pieces
        ),
    )

    assert budget_of(PLAIN, worse).width >= budget_of(PLAIN, known_well).width


@given(stacks)
def test_shims_in_another_order_have_the_same_band(one: Stack) -> None:
    other = replace(one, shims=one.shims[::-1], pieces=one.pieces[::-1])

    first, second = budget_of(PLAIN, one), budget_of(PLAIN, other)
    assert (first.low, first.high) == (second.low, second.high)


def test_with_nothing_left_to_do_the_gauge_alone_counts() -> None:
    found = budget_read(PLAIN, GAUGE)

    assert (found.low, found.expected, found.high) == (PLAIN - 10_000, PLAIN, PLAIN + 10_000)
    assert found.shares == (1,)


def test_a_band_holds_what_lies_in_it_widened_by_the_gauge() -> None:
    found = budget_read(PLAIN, GAUGE)

    assert found.holds(PLAIN + 10_000)
    assert not found.holds(PLAIN + 10_001)
    assert found.holds(PLAIN - 15_000, 5_000)
    assert not found.holds(PLAIN - 15_001, 5_000)


def first(
    stack: Stack, room: int | Fraction | None = None, reading: StackReading | None = None
) -> MeasureFirst | None:
    return measure_first(OpenBand(PLAIN, stack, room, FINE, reading))


def test_what_is_known_worst_is_measured_first() -> None:
    found = first(stack(5, 30, bushing=20))

    assert found is not None
    assert (found.what, found.tag) == (StackPart.SHIM, "b")
    assert found.width == budget_of(PLAIN, stack(5, 30, bushing=20)).width
    assert found.then == budget_of(PLAIN, stack(5, 5, bushing=20)).width


def test_where_all_are_known_to_a_micrometer_nothing_is_to_be_measured() -> None:
    assert first(stack(5, 5)) is None
    assert first(stack(3, 5, broach=1)) is None


def test_a_bore_is_measured_where_its_limits_leave_much_play() -> None:
    loose = stack(5, 5, play=Play.of(60 * UM, 17_000_000, None))

    assert first(loose, 45 * UM) == (
        StackPart.BORE,
        None,
        budget_of(PLAIN, loose).width,
        budget_of(PLAIN, loose).width - 15 * UM,
    )
    assert first(loose, None) is None
    assert first(loose, 60 * UM) is None  # a bore without a tolerance


def test_the_bushing_goes_before_the_broach_and_the_first_tag_before_others_where_they_help_alike() -> None:
    assert first(stack(20, bushing=20, broach=20))[1] == "G"  # type: ignore[index]
    assert first(stack(20, broach=20))[1] == "K"  # type: ignore[index]
    assert first(stack(20, 20, tags="zy"))[1] == "y"  # type: ignore[index]


def test_after_a_reading_the_shim_that_was_put_in_is_measured_and_no_longer_the_bushing() -> None:
    was, now = stack(bushing=50), stack(30, bushing=50)

    found = first(now, reading=read(was))

    assert found is not None
    assert (found.what, found.tag) == (StackPart.SHIM, "a")
