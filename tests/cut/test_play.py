"""What play does to depth and side, against cylinders set down in a wider one and against the ends tried one by one."""

from __future__ import annotations

from itertools import product
from math import cos, sin, sqrt, tau
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.cut.play import Play, Span

rooms = st.integers(0, 500_000)
lengths = st.integers(1_000_000, 200_000_000)


def tried(play: Play, at: float) -> tuple[float, float]:
    """Least and most gap at a share of the hub from the collar, over all four corners of what the two ends may be."""
    y = at * play.hub_length
    gaps = [a + (b - a) * y / play.guided for a, b in product((0.0, float(play.room)), repeat=2)]
    return min(gaps), max(gaps)


@given(rooms, lengths, lengths)
def test_the_bounds_are_those_of_a_straight_line_with_its_ends_anywhere_in_the_play(
    room: int, hub: int, bushing: int
) -> None:
    play = Play.of(room, hub, bushing)

    for span, at in ((play.top, 0.0), (play.middle, 0.5), (play.bottom, 1.0)):
        least, most = tried(play, at)
        assert span.least == pytest.approx(least, abs=0.6)
        assert span.most == pytest.approx(most, abs=0.6)


@given(rooms, lengths, lengths)
def test_a_hub_no_longer_than_its_bushing_can_only_come_out_deeper_and_by_no_more_than_the_play(
    room: int, hub: int, longer: int
) -> None:
    play = Play.of(room, hub, hub + longer)

    assert play.top == play.middle == play.bottom == Span(0, room)
    assert play.ends_differ == room


def test_a_bushing_without_a_known_length_is_taken_to_guide_the_whole_hub() -> None:
    assert Play.of(20_000, 40_000_000, None) == Play.of(20_000, 40_000_000, 40_000_000)


def test_past_its_bushing_a_hub_may_come_out_shallower_too() -> None:
    # 60 mm of hub on 40 mm of bushing, 20 um of play: at the far end the broach continues for half as far again.
    play = Play.of(20_000, 60_000_000, 40_000_000)

    assert play.middle == Span(0, 20_000)
    assert play.bottom == Span(-10_000, 30_000)
    assert play.ends_differ == 30_000


def test_the_middle_of_a_hub_of_three_bushings_lies_past_the_bushing() -> None:
    play = Play.of(20_000, 120_000_000, 40_000_000)

    assert play.middle == Span(-10_000, 30_000)
    # Half of slot and bore together, and a lean that continues for half the guided length past its end.
    assert play.off_centre(10_000) == 15_000 * 2


def test_a_bushing_without_play_holds_the_broach() -> None:
    play = Play.of(0, 60_000_000, 40_000_000)

    assert play.top == play.middle == play.bottom == Span(0, 0)
    assert (play.ends_differ, play.off_centre(0), play.lead(0)) == (0, 0, 0)
    assert (play.off_centre(10_000), play.lead(10_000)) == (5_000, 15_000)


@pytest.mark.parametrize(("room", "hub", "guided"), [(-1, 10, 10), (5, 0, 0), (5, 10, 0), (5, 10, 11)])
def test_a_play_that_cannot_be_is_refused(room: int, hub: int, guided: int) -> None:
    with pytest.raises(ValueError, match="the guided length above 0 and no longer than the hub"):
        Play(room, hub, guided)


def test_a_round_bushing_rolled_tilted_and_pushed_aside_keeps_within_the_play() -> None:
    """Cylinders set down at random in a wider one: where the keyway's floor comes out, at the ends and in the middle.

    A bushing's circle of radius r stays in the bore's circle of radius R where its middle is within R - r of the bore's.
    The slot may point anywhere (the contact line rolls with it): the floor lies ``stack`` above the bushing's back along
    the slot, and T is read along the middle plane of the keyway to the wall of the bore.
    """
    chance, deepest, shallowest, widest_lean, farthest = Random("roll and tilt"), 0.0, 0.0, 0.0, 0.0
    bore_r, bushing_r, stack = 12.5, 12.46, 20.0
    room = 2 * (bore_r - bushing_r)
    for _ in range(20_000):
        slot = chance.uniform(0, tau)
        along, across = (cos(slot), sin(slot)), (-sin(slot), cos(slot))
        depths, sides = [], []
        for _ in range(2):
            # Half of the tries touch the wall.
            off = (bore_r - bushing_r) * (1.0 if chance.random() < 0.5 else sqrt(chance.random()))
            where = chance.choice((chance.uniform(0, tau), slot, -slot, slot + tau / 2, slot + tau / 4))
            x, y = off * cos(where), off * sin(where)
            up, side = x * along[0] + y * along[1], x * across[0] + y * across[1]
            floor = up - bushing_r + stack
            wall = -sqrt(bore_r**2 - side**2)
            depths.append(floor - wall - stack)
            sides.append(side)
        middle = sum(depths) / 2
        deepest, shallowest = max(deepest, middle, *depths), min(shallowest, middle, *depths)
        widest_lean = max(widest_lean, abs(sides[0] - sides[1]))
        farthest = max(farthest, *map(abs, sides))

    play = Play.of(round(room * 1e6), 40_000_000, 40_000_000)
    rounding = 1e-9
    assert play.middle.least / 1e6 - rounding <= shallowest
    assert room * 0.999 < deepest <= play.middle.most / 1e6 + rounding
    assert room * 0.95 < widest_lean <= play.lead(0) / 1e6 + rounding
    assert room / 2 * 0.999 < farthest <= play.off_centre(0) / 1e6 + rounding
