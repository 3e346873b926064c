"""Where a run is stopped: which hub and pass, what can be typed, and what comes next."""

from __future__ import annotations

from dataclasses import replace

import pytest

from broachplan.runs.state import Fate
from broachplan.runs.steps import RunAct
from tests.tui.pressing import FEW, GOOD_HUB, ON_HAND, SHELF, SHIMS, TIGHT, Pad
from tui.press.drawn import drawn


@pytest.mark.parametrize(
    ("trouble", "says"),
    [
        (("*1",), "HUB 3, PASS 1 IS STUCK PART WAY. What became of it?"),
        (("*4", "1"), "HUB 3, PASS 1: A SHIM IS MISSING"),
        (("*5", "1"), "HUB 3, PASS 1: THE BROACH IS BROKEN"),
        (("*7", "1"), "STOPPED AT HUB 3, PASS 1: for now"),
        (("*7", "2"), "PARKED AT HUB 3, PASS 1: the tools are in the crib"),
    ],
)  # fmt: skip
def test_every_stop_names_the_hub_and_the_pass_that_it_is_at(trouble: tuple[str, ...], says: str) -> None:
    sight = Pad().type(*GOOD_HUB, "3", *trouble).sight()

    assert sight.place.startswith("HUB 3 of 4   PASS 1 of 3")
    assert says in (*sight.said, sight.left.heading if sight.left else "")


def test_a_run_that_nothing_on_hand_continues_names_the_hub_and_the_pass_that_has_no_shims() -> None:
    two = replace(ON_HAND, shelf=replace(SHELF, shims=SHIMS[:2]))
    sight = Pad(on_hand=two).type("1", "1.0720", "*4", "1", "1").sight()

    assert sight.place == "HUB 1 of 4   PASS 3"
    assert sight.left
    assert sight.left.heading == "HUB 1, PASS 3: NO SHIMS ON HAND LEAD TO THE LIMITS"


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        # A decision is what the run waits for: nothing leads back from it.
        (("*1", "0"), "read 0; type 1 to 4"),
        (("*1", "9"), "read 9; type 1 to 4"),
        (("*6", "9"), "read 9; type 1 to 5, or 0 to go back"),
        (("*5", "9"), "read 9; type 1, or 0 to go back"),
        (("/2", "9"), "read 9; type the size that is asked for, or 0 to go back"),
    ],
)  # fmt: skip
def test_a_wrong_digit_says_what_can_be_typed_and_offers_no_way_back_where_there_is_none(
    lines: tuple[str, ...], says: str
) -> None:
    assert Pad().type("1", *lines).said == (says,)


def test_what_was_really_in_names_the_hub_where_the_pass_is_of_the_hub_before() -> None:
    pad = Pad().type(*GOOD_HUB, "*3")
    assert "1  HUB 1, pass 3, booked with .0490 + .0550" in pad.shown
    assert "2  HUB 2, pass 1, just pushed and not booked" in pad.shown
    assert "HUB 1, pass 3: what was really in?" in pad.type("1").shown


def test_a_missing_shim_is_not_among_the_tools_to_fetch_again() -> None:
    pad = Pad().type("1", "*4", "1", "1", "*7", "2")
    parked = replace(pad.view, homes=(("SH-049", "drawer 2"), ("SH-0550-A", "drawer 3")))
    lines = drawn(parked, None).lines
    assert "  SH-0550-A   drawer 3" in lines
    assert not any("SH-049" in line for line in lines)


def test_resumed_without_the_missing_shim_it_says_that_the_plan_is_a_new_one() -> None:
    pad = Pad().type("1", "*4", "1")
    assert "NEW PLAN. Passes 2 to 3: .0550; then .0500 + .0550; it should come to 1.1200" in pad.shown

    pad.type("1")

    assert pad.last is RunAct.RESUMED
    assert "NEW PLAN. Passes 2 to 3: .0550; then .0500 + .0550; it should come to 1.1200" in pad.shown
    assert "as planned" not in pad.shown


def test_resumed_with_the_shims_of_before_it_says_that_the_plan_stays() -> None:
    pad = Pad().type("1", "*7", "1", "1")

    assert pad.last is RunAct.RESUMED
    assert "Passes 2 to 3 stay as planned: still inside the limits." in pad.shown


def test_a_hub_that_is_gauged_late_is_named_in_the_title() -> None:
    pad = Pad(3, keyway=TIGHT, on_hand=FEW).type(*GOOD_HUB, "3", "1.1211", "1", "1")
    assert "GAUGE HUB 2 TOO" in pad.shown
    assert pad.sight().place == "HUB 2 of 3"


@pytest.mark.parametrize(
    ("read_each", "says"),
    [(4, "Gauge hub 4, the last one (any hub: +)."), (3, "Gauge hub 3 (any hub: +)."), (1, "Gauge hub 2 (any hub: +).")],
)  # fmt: skip
def test_before_the_next_hub_it_says_which_hub_is_gauged_next(read_each: int, says: str) -> None:
    assert says in Pad(4, read_each=read_each).type(*GOOD_HUB).sight().lines


def test_the_hub_after_one_that_was_given_up_is_led_pass_by_pass_as_the_first_one() -> None:
    sight = Pad().type("1", "*6", "2").sight()

    assert sight.said[0].startswith("HUB 1 IS SET ASIDE")
    assert sight.place == "HUB 2 of 4   PASS 1 of 3"
    assert sight.left
    assert sight.left.figure == "NO SHIM"


def test_a_broken_broach_stops_the_run_large_and_leaves_the_hub_to_another_pair_or_aside() -> None:
    pad = Pad().type("1", "*5", "1")
    left = pad.sight().left
    assert left
    assert (left.heading, left.figure) == ("HUB 1, PASS 2: THE BROACH IS BROKEN", "STOP")
    pad.type("2", "2")
    assert pad.desk.state.fates[1] == (Fate.ASIDE, "the broach leaned")
