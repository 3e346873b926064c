"""The machinist's desk: the form checks while it is typed in, planning answers beside it."""

from __future__ import annotations

import asyncio
import threading
from dataclasses import replace

from textual import events
from textual.widgets import Static

from broachplan.errors import InputError, StorageError
from broachplan.planner.answer import Answer
from broachplan.questions.hub import PlanRequest
from tests.tui.answers import BLOCKED, QUESTION, READY, Bench
from tests.tui.driving import LARGE, Drive, drive, unpainted
from tui.app import BroachplanApp
from tui.desks import Desks
from tui.screens.refusals import RefusalsScreen
from tui.screens.start_run import StartRunScreen
from tui.widgets.entry import EntryLine
from tui.widgets.ledger import Ledger
from tui.widgets.section_view import SectionView


def test_a_form_is_checked_while_it_is_typed_and_filled_and_planned_by_keys_alone() -> None:
    async def act(at: Drive) -> None:
        await at.fill("bore", "1")
        assert "without a unit" in at.words("#said")
        assert "!Bore" in at.words("#labels")
        assert "*Hub length" in at.words("#labels")
        assert at.desk.check_action("plan", ()) is None
        await at.press("f2", "enter")
        assert at.bench.asked == []

        at.desk.query_one("#bore", EntryLine).value = "1 in\x1b[31m\u202e"
        await at.settle()
        assert "\x1b" not in at.screen()
        assert at.desk.check_action("plan", ()) is None

        await at.fill("bore", "")
        await at.press("1", "space", "i", "n", "down", "2", "space", "i", "n")
        assert "T 1." in at.words("#t")
        assert at.bench.asked == []
        await at.press("enter")
        assert [asked.bore for asked in at.bench.asked] == ["1 in"]
        assert at.bench.asked[0].hub_length == "2 in"
        assert at.words("#verdict").startswith("READY")

    drive(act, question=None)


def test_a_question_given_at_the_start_is_planned_once_and_again_after_every_change() -> None:
    async def act(at: Drive) -> None:
        assert at.bench.asked == [QUESTION]
        assert at.desk.answer is READY

        await at.fill("hub_length", "2 in")
        assert at.desk.has_class("-stale")
        assert at.words("#verdict").startswith("Inputs changed")
        await at.press("f2")
        assert not at.desk.has_class("-stale")

        await at.fill("press", "A1")
        await at.fill("on", "2026-03-09")
        await at.press("enter")
        assert at.bench.asked[-1].press == "A1"
        assert at.bench.asked[-1].on == "2026-03-09"

        at.desk.query_one("#standard").focus()
        await at.press("right", "f2")
        assert at.bench.asked[-1].standard == "inch"

        await at.fill("hub_od", "0.5 in")
        assert "must be more than the bore" in at.words("#said")
        assert at.desk.check_action("plan", ()) is None

    drive(act)


def test_the_best_plan_and_the_others_stand_beside_the_form_before_and_after_another_screen() -> None:
    async def act(at: Drive) -> None:
        before = await plans_beside_the_form(at)
        for key in ("f3", "f8", "f10"):
            await at.press(key)
            assert at.screen() != before
            await at.press("escape")
            assert at.screen() == before

        await at.press("f3")
        assert isinstance(at.app.screen, StartRunScreen)
        await at.press("escape")

        await at.press("f9", "f9")
        assert "28.423" in at.screen()
        assert "kN" in at.words("#title")

        await at.press("f4", "a")
        assert at.bench.asked[-1].why == "all"
        assert isinstance(at.app.screen, RefusalsScreen)
        assert not at.desk.has_class("-stale")

    drive(act)


def test_in_a_large_terminal_the_picture_is_that_of_the_pass_chosen() -> None:
    async def act(at: Drive) -> None:
        await plans_beside_the_form(at)
        at.desk.query_one("#passes").focus()
        await at.press("end")
        section = at.desk.query_one(SectionView).section
        assert section is not None
        assert len(section.layers) == 3
        assert len(section.shims) == 2

    drive(act, size=LARGE)


async def plans_beside_the_form(at: Drive) -> str:
    """The screen with the best plan and the others, each shown when it is chosen."""
    rows = at.desk.query_one("#plans", Ledger).rows
    assert [row[0] for row in rows] == ["BR-250-A", "BR-250-B"]
    shown = at.screen()
    assert "BR-250-A" in shown
    assert "BR-250-B" in shown
    assert "1.1190" in shown
    assert "Hub length" in shown
    await at.press("down")
    assert at.words("#chosen").startswith("BR-250-B")
    await at.press("up")
    assert at.screen() == shown
    return shown


def test_refusals_what_to_make_cautions_and_safety_each_stand_behind_one_key() -> None:
    async def act(at: Drive) -> None:
        assert at.words("#verdict").startswith("NO PLAN: nothing in the crib cuts this keyway")
        assert "never pull a broach back" in at.screen()
        for key, words in (
            ("f4", "cuts 0.3125 in"),
            ("f5", "0.9990 in (0.9970 to 0.9995 in)"),
            ("f6", "from memory"),
            ("f7", "responsible person"),
        ):
            await at.press(key)
            assert words in at.words("#pane-text")
            await at.press("escape")
        assert at.app.screen is at.desk

    drive(act, bench=Bench(BLOCKED))


def test_one_line_says_what_stops_a_plan_until_there_is_one() -> None:
    class Mended(Bench):
        def plan(self, db: str | None, asked: PlanRequest) -> Answer:
            self.answer = answers.pop(0)
            return super().plan(db, asked)

    answers = [
        StorageError("the crib is of another revision: run broachplan data upgrade"),
        InputError("press: read “A9”: no such press"),
        ZeroDivisionError("x"),
        READY,
    ]

    async def act(at: Drive) -> None:
        for line in (
            "the crib is of another revision: run broachplan data upgrade",
            "“A9”",
            "a fault of ours stopped this (ZeroDivisionError)",
        ):
            assert line in at.words("#said")
            assert at.desk.query_one("#said", Static).has_class("-wrong")
            assert not at.desk.planning
            await at.press("f2")
        assert at.words("#verdict").startswith("READY")
        assert "fault" not in at.words("#said")

    drive(act, bench=Mended())


def test_a_fault_is_reported_through_the_function_handed_in() -> None:
    class Reporting(Bench):
        def desks(self, *_: object) -> Desks:
            return replace(super().desks(), report=lambda error: f"report of {type(error).__name__}")

    async def act(at: Drive) -> None:
        assert "report of KeyError" in at.words("#said")

    drive(act, bench=Reporting(KeyError("x")))


def test_the_screen_answers_while_the_planner_is_still_at_work() -> None:
    class Slow(Bench):
        go = threading.Event()

        def plan(self, db: str | None, asked: PlanRequest) -> Answer:
            assert self.go.wait(20)
            return super().plan(db, asked)

    bench = Slow()

    async def act(at: Drive) -> None:
        await at.pilot.press("f2")
        await at.pilot.pause()
        assert at.words("#verdict") == "planning ..."
        await at.pilot.press("f7")
        await at.pilot.pause()
        assert at.app.screen.name == "safety"
        await at.pilot.press("escape")
        bench.go.set()
        await at.settle()
        assert at.words("#verdict").startswith("READY")

    async def filled(at: Drive) -> None:
        await at.fill("bore", QUESTION.bore)
        await at.fill("hub_length", QUESTION.hub_length)
        await act(at)

    drive(filled, question=None, bench=bench)


def burst(*keys: str) -> list[str]:
    """The keys of words and of names, in turn."""
    named = ("tab", "shift+tab", "down", "up")
    return [key for word in keys for key in ([word] if word in named else word)]


def test_keys_typed_in_one_burst_land_each_in_the_line_they_were_meant_for() -> None:
    async def act(at: Drive) -> None:
        for step in ("tab", "down"):
            await at.burst(*burst("1 in", step, "2 in", step, "1/4 in"))
            lines = [at.desk.query_one(f"#{name}", EntryLine) for name in ("bore", "hub_length", "key")]
            assert [line.value for line in lines] == ["1 in", "2 in", "1/4 in"]
            for line in lines:
                line.value = ""
            at.desk.query_one("#bore").focus()

        await at.burst(*burst("tab", "2 in", "shift+tab", "1 in", "down", " +0.1 -0", "up", "!"))
        assert at.desk.query_one("#bore", EntryLine).value == "1 in!"
        assert at.desk.query_one("#hub_length", EntryLine).value == "2 in +0.1 -0"

    drive(act, question=None)


def test_keys_typed_before_the_desk_is_there_are_kept_in_their_order() -> None:
    class Typed(BroachplanApp):
        async def open_desk(self) -> None:
            for key in burst("1 in", "tab", "2 in"):
                await self.on_event(events.Key(key, key if len(key) == 1 else None))
            await super().open_desk()

    async def run() -> None:
        app = Typed(None, None, Bench().desks())
        async with unpainted(app) as pilot:
            at = Drive(app, pilot, Bench())
            await at.settle()
            assert at.desk.query_one("#bore", EntryLine).value == "1 in"
            assert at.desk.query_one("#hub_length", EntryLine).value == "2 in"

    asyncio.run(run())


def test_press_and_day_given_at_the_start_stand_in_the_form_and_in_the_question() -> None:
    async def act(at: Drive) -> None:
        assert at.desk.query_one("#press", EntryLine).value == "ARBOR-3"
        assert at.desk.query_one("#on", EntryLine).value == "2026-03-09"
        assert at.bench.asked == [replace(QUESTION, press="ARBOR-3", on="2026-03-09")]

    drive(act, question=replace(QUESTION, press="ARBOR-3", on="2026-03-09"))


def test_a_woodruff_key_is_planned_by_its_number() -> None:
    async def act(at: Drive) -> None:
        await at.fill("bore", "1 in")
        await at.fill("hub_length", "1 in")
        await at.fill("key", "808")
        assert "!Key" not in at.words("#labels")
        at.desk.set_focus(at.desk.query_one("#standard"))
        await at.press("right")
        # The parallel keys of the inch standard have no numbers.
        assert "!Key" in at.words("#labels")
        await at.press("right", "right")
        assert "!Key" not in at.words("#labels")
        await at.press("f2")
        assert at.bench.asked[-1].standard == "woodruff"
        assert at.bench.asked[-1].key == "808"

    drive(act, question=None)
