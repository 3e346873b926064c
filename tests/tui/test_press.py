"""At the press: a run carried out by digits and the five keys of a number pad."""

from __future__ import annotations

from dataclasses import replace

import pytest

from broachplan.questions.runs import RunPushedRequest, RunReadRequest
from broachplan.runs.state import Cause, Status, Waits
from broachplan.runs.steps import RunAct
from tests.tui.answers import HUB, limits
from tests.tui.driving import LARGE, SMALL, assert_golden
from tests.tui.pressing import AtThePress, PressDesk, at_the_press, begun
from tui.widgets.figure import LargeFigure
from tui.widgets.pad_line import PadLine

HUB_1 = "1\n1.0720\n1.1208\n"


def acts_of(at: AtThePress) -> list[RunAct]:
    return [step.act for step in at.run.steps[1:]]


@pytest.mark.parametrize("size", [SMALL, (130, 40), LARGE])
def test_four_hubs_are_cut_by_digits_and_enter_and_counted_on_the_way(size: tuple[int, int]) -> None:
    async def act(at: AtThePress) -> None:
        assert "HUB 1 of 4   PASS 1 of 3" in at.words("#place")
        assert at.app.screen.query_one("#left-figure", LargeFigure).value == "NO SHIM"
        assert "no need to gauge pass 1" in at.screen()
        await at.type("1\n")
        assert "GAUGE IT: the last pass but one" in at.screen()
        assert at.app.screen.query_one("#left-figure", LargeFigure).value == ".0550"
        await at.type("1.0720\n")
        assert "PASS 2 READS 1.0720: 0.0020 DEEP" in at.words("#said")
        assert "Pass 3 stays as planned: 0.0020 deeper, still inside the limits." in at.words("#said")
        assert at.words("#left-heading") == "LEAVE .0550 IN, ADD BEHIND IT"
        assert at.app.screen.query_one("#right-figure", LargeFigure).value == "1.1210"
        await at.type("1.1208\n")
        assert "HUB 1 IS GOOD" in at.words("#said")
        assert "too shallow" in at.words("#bar")
        assert "NEXT: HUB 2   same broach, same bushing, same shims; it runs 0.0018 deep" in at.screen()
        await at.type("3\n")
        assert at.words("#left-heading") == "HUB 2: not gauged"
        await at.type("3\n")
        assert at.words("#prompt") == "Gauge it: type what it reads."
        await at.type("1.1209\n")
        assert "ALL HUBS ARE THROUGH" in at.words("#said")
        assert "Done: 4 of 4 hubs. Not measured: 2." in at.screen()
        await at.type("1\n")
        assert at.run.status is Status.DONE

    at_the_press(act, size=size)


def test_the_first_hub_takes_16_keys_after_the_pick_list_and_each_further_one_2_or_7() -> None:
    async def act(at: AtThePress) -> None:
        for typed, keys in ((HUB_1, 16), ("3\n", 2), ("1.1208\n", 7)):
            before = len(at.run.begun)
            assert len(typed) == keys
            await at.type(typed)
            assert len(at.run.begun) == before + 1
            assert at.run.waits is Waits.PUSH

    at_the_press(act)


def test_all_keys_of_two_hubs_in_one_burst_are_taken_in_their_order() -> None:
    async def act(at: AtThePress) -> None:
        await at.type(f"{HUB_1}3\n1.1209\n")
        assert acts_of(at) == [RunAct.PUSHED, RunAct.PUSHED, RunAct.READ, RunAct.PUSHED, RunAct.READ] + [
            RunAct.PUSHED
        ] * 6 + [RunAct.READ]
        assert [step.typed for step in at.run.steps if step.typed] == ["1.0720 in", "1.1208 in", "1.1209 in"]

    at_the_press(act)


def test_an_empty_a_doubled_and_a_bounced_enter_book_nothing() -> None:
    async def act(at: AtThePress) -> None:
        await at.type("\n\n\n")
        assert at.desk_of_run.asked == []
        await at.type("1\n\n\n")
        assert acts_of(at) == [RunAct.PUSHED]
        await at.type("1\n")
        assert "Pass 1 is booked already: pass 2 is due. Nothing was booked twice." in at.words("#wrong")
        assert acts_of(at) == [RunAct.PUSHED]
        await at.type("33\n")
        assert "there are 3 passes" in at.words("#wrong")
        assert len(at.desk_of_run.asked) == 1

    at_the_press(act)


def test_a_key_shows_its_list_and_changes_nothing_before_a_digit_and_enter() -> None:
    headings = {"-": "BACK ONE", "+": "GAUGE IT", "/": "HOW TO MEASURE", "*": "TROUBLE"}

    async def act(at: AtThePress) -> None:
        before = at.screen()
        for key, heading in headings.items():
            await at.type(key)
            assert heading in at.words("#said")
            await at.type("\n\n")
            assert heading in at.words("#said")
            await at.press("backspace")
            assert at.screen() == before
            await at.type(f"{key}0\n")
            assert at.screen() == before
            assert at.desk_of_run.asked == []

    at_the_press(act)


def test_a_run_that_another_station_moved_is_said_in_one_line_shown_anew_and_nothing_typed_is_lost() -> None:
    desk = PressDesk()

    async def act(at: AtThePress) -> None:
        desk.act(None, RunPushedRequest(run="41", through="1", step="1", by="Ann"))
        await at.type("3\n1.1\n")
        assert "step 2 was confirmed since, by Ann" in at.words("#wrong")
        assert "Typed behind it and not done: 1.1" in at.words("#wrong")
        assert at.app.screen.query_one(PadLine).value == "3"
        assert "PASS 2 of 3" in at.words("#place")
        assert len(acts_of(at)) == 1
        await at.press("enter")
        assert acts_of(at) == [RunAct.PUSHED] * 3
        assert not at.app.screen.query_one("#wrong").display

    at_the_press(act, desk=desk)


@pytest.mark.parametrize(
    ("typed", "acts"), [("1\n", [RunAct.PUSHED]), ("2\n", [RunAct.PART_WAY]), ("3\n", [])]
)
def test_a_run_that_is_opened_again_asks_what_became_of_the_push_that_was_due(
    typed: str, acts: list[RunAct]
) -> None:
    desk = PressDesk()
    for request in (RunPushedRequest(run="41", through="1", step="1"),):
        desk.act(None, request)

    async def act(at: AtThePress) -> None:
        assert "PASS 2 OF HUB 1: PUSHED, PART WAY, OR NOT YET?" in at.words("#said")
        await at.type(typed)
        assert acts_of(at) == [RunAct.PUSHED, *acts]
        assert "NOT YET?" not in at.words("#said")

    at_the_press(act, desk=desk, fresh=False)


def test_a_reading_that_cannot_be_is_refused_and_stays_in_the_line() -> None:
    async def act(at: AtThePress) -> None:
        await at.type("1\n0.9\n")
        assert at.words("#wrong").startswith("NOT DONE: ")
        assert at.app.screen.query_one(PadLine).value == "0.9"
        # Neither the reading nor the push that it would have booked: it was not typed yet that the pass is through.
        assert acts_of(at) == [RunAct.PUSHED]
        assert at.words("#prompt") == "Through and gauged? Type what it reads"
        await at.press(*["backspace"] * 3)
        await at.type("1.0720\n")
        assert acts_of(at) == [RunAct.PUSHED, RunAct.PUSHED, RunAct.READ]
        assert len(at.desk_of_run.asked) == 3

    at_the_press(act)


def test_a_pass_that_no_gauge_reaches_yet_takes_no_reading() -> None:
    # A floor at 1.0150 in lies within the 1.0160 in of this bore, so an inside gauge does not meet it.
    wide = replace(HUB, bore=limits("1", "1.016"))

    async def act(at: AtThePress) -> None:
        assert "pass 1 cannot be gauged yet" in at.screen()
        await at.type("1.0150\n")
        assert "Pass 1 cannot be gauged yet" in at.words("#wrong")
        assert at.desk_of_run.asked == []

    at_the_press(act, desk=PressDesk(begun(1, hub=wide)))


def test_both_ends_are_typed_with_the_key_between_them() -> None:
    async def act(at: AtThePress) -> None:
        await at.type("2\n1.0715/1.0719\n")
        sent = [each for each in at.desk_of_run.asked if isinstance(each, RunReadRequest)]
        assert [(each.top, each.bottom) for each in sent] == [("1.0715 in", "1.0719 in")]
        assert "PASS 2 READS 1.0715 and 1.0719" in at.words("#said")

    at_the_press(act)


def test_the_keys_of_the_pad_are_in_the_palette_with_every_line_of_their_lists() -> None:
    async def act(at: AtThePress) -> None:
        lines = [words for words, _ in at.app.screen.palette_lines()]  # type: ignore[attr-defined]
        assert sum(line.startswith("*") for line in lines) == 8
        assert "*4  a shim is missing" in lines
        await at.press("ctrl+p", *"*1  stuck part", "enter")
        assert Cause.PART_WAY in at.run.causes

    at_the_press(act)


def test_no_tag_of_a_piece_is_read_as_markup() -> None:
    desk = PressDesk(begun(1, job="[bold]J-701[/]", drawing="WL\x1b[31m"))

    async def act(at: AtThePress) -> None:
        assert "[bold]J-701[/]" in at.words("#place")
        assert "\x1b" not in at.screen()

    at_the_press(act, desk=desk)


@pytest.mark.parametrize("colour", [True, False])
def test_the_moments_of_a_run_look_as_they_were_kept_with_and_without_colour(
    colour: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    if not colour:
        monkeypatch.setenv("NO_COLOR", "1")

    async def act(at: AtThePress) -> None:
        assert at.app.no_color is not colour
        assert_golden("run_first_push_80x24", at.screen())
        await at.type("1\n1.0720\n")
        assert_golden("run_after_a_reading_80x24", at.screen())
        await at.type("1.1208\n")
        assert_golden("run_hub_done_80x24", at.screen())

    at_the_press(act)
