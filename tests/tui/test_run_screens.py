"""From the plan to the press and back on a real crib: the pick list, the open runs, a run that another station continues."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest

from broachplan.desks.attendant.import_crib import import_crib
from broachplan.desks.attendant.shop_settings import change_setting
from broachplan.desks.machinist.runs.at_press import at_press
from broachplan.desks.machinist.runs.cutting import push
from broachplan.desks.machinist.runs.pausing import end_run
from broachplan.desks.machinist.runs.start import start_run
from broachplan.places import seed_inventory
from broachplan.questions.acts import SettingRequest
from broachplan.questions.at_press import RunAtPressRequest
from broachplan.questions.files import ImportRequest
from broachplan.questions.hub import HubQuestion, PlanRequest
from broachplan.questions.runs import RunEndRequest, RunPushedRequest, RunStartRequest
from broachplan.runs.state import RunState
from broachplan.runs.steps import RunAct
from tests.tui.answers import Bench
from tests.tui.driving import Drive, unpainted
from tui.app import BroachplanApp
from tui.desks import Desks

# The demo toolroom's first job.
CHAIN_WHEEL = PlanRequest(
    bore="1 in +0.001 -0.000", key="1/4 in", hub_length="1-1/8 in", material="mild steel", hub_od="2 in"
)
FIRST_HUB = "1\n1\n1.0739\n1.1206\n"
FILLED = ("tab", "4", "down", "down", *"J-701", "down", "down", "down", *"Kim", "enter")


class Shop(Drive):
    """The screens on the demo toolroom's crib."""

    db: str

    async def type(self, text: str) -> None:
        """Type in one burst; ``\\n`` is Enter."""
        await self.burst(*("enter" if sign == "\n" else sign for sign in text))

    @property
    def run(self) -> RunState:
        """The first run as the crib has it."""
        return at_press(self.db, RunAtPressRequest("1")).state

    @property
    def acts(self) -> list[RunAct]:
        return [step.act for step in self.run.steps]


@pytest.fixture(scope="module")
def demo_crib(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo toolroom's crib, to be copied."""
    path = tmp_path_factory.mktemp("demo") / "crib.db"
    import_demo(str(path))
    return path


@pytest.fixture
def db(demo_crib: Path, tmp_path: Path) -> str:
    """A crib of one's own."""
    path = tmp_path / "crib.db"
    path.write_bytes(demo_crib.read_bytes())
    return str(path)


def import_demo(db: str) -> None:
    import_crib(db, ImportRequest(paths=(str(seed_inventory()),)))


def in_the_shop(db: str, act: Callable[[Shop], Awaitable[None]]) -> None:
    """Open the screens with the chain wheel planned."""

    async def run() -> None:
        app = BroachplanApp(db, CHAIN_WHEEL, Desks())
        async with unpainted(app) as pilot:
            shop = Shop(app, pilot, Bench())
            shop.db = db
            await shop.settle()
            await act(shop)

    asyncio.run(run())


def test_from_the_pick_list_on_the_first_hub_takes_18_keys_typed_in_one_burst(db: str) -> None:
    assert len(FIRST_HUB) == 18

    async def act(at: Shop) -> None:
        await at.press("f3")
        assert "shim .0469     SH-0250-01           C/5/01" in at.screen()
        await at.press(*FILLED)
        await at.type(FIRST_HUB)
        assert "HUB 1 IS GOOD" in at.words("#said")
        assert at.acts == [
            RunAct.STARTED,
            RunAct.PUSHED,
            RunAct.PUSHED,
            RunAct.READ,
            RunAct.PUSHED,
            RunAct.READ,
        ]
        assert {step.by for step in at.run.steps} == {"Kim"}

    in_the_shop(db, act)


def test_each_piece_of_the_pick_list_is_scanned_where_the_shop_has_it_so(db: str) -> None:
    change_setting(db, SettingRequest(name="pick_list", value="scanned"))

    async def act(at: Shop) -> None:
        await at.press("f3")
        assert "Scan the next tool (4 left)" in at.words("#prompt")
        await at.type("1\n")
        assert "still to be scanned: BR-0250-A" in at.words("#said")
        await at.type("br-0250-a\nGU-1000-0250-A\nSH-9\nSH-0250-01\n")
        assert "[x] broach         BR-0250-A" in at.screen()
        assert "[ ] shim .0470" in at.screen()
        await at.type("SH-0250-02\n1\n")
        assert at.acts == [RunAct.STARTED]

    in_the_shop(db, act)


def test_a_run_is_continued_from_the_open_runs_at_the_last_step_that_was_booked(db: str) -> None:
    async def start(at: Shop) -> None:
        await at.press("f3", *FILLED)
        await at.type("1\n1\n")

    async def another_station(at: Shop) -> None:
        assert "1 open run: ctrl+n" in at.words("#title")
        await at.press("ctrl+n")
        assert "1 run running or stopped" in at.words("#title")
        await at.press("enter")
        assert "PASS 2 OF HUB 1: PUSHED, PART WAY, OR NOT YET?" in at.words("#said")
        push(db, RunPushedRequest(run="1", by="Ann"))
        await at.type("1\n")
        assert "NOT DONE" in at.words("#wrong")
        assert "Ann" in at.words("#wrong")
        assert at.acts == [RunAct.STARTED, RunAct.PUSHED, RunAct.PUSHED]

    in_the_shop(db, start)
    in_the_shop(db, another_station)


def test_who_takes_over_is_at_the_press_from_then_on(db: str) -> None:
    async def act(at: Shop) -> None:
        await at.press("f3", *FILLED)
        await at.type("1\n1\n*8\nAnn\n2\n")
        assert at.acts[-3:] == [RunAct.PARKED, RunAct.RESUMED, RunAct.PUSHED]
        assert [step.by for step in at.run.steps[-3:]] == ["Kim", "Ann", "Ann"]

    in_the_shop(db, act)


def test_what_another_station_took_meanwhile_cannot_be_started_and_a_plan_from_before_is_planned_again(
    db: str,
) -> None:
    async def act(at: Shop) -> None:
        await at.press("f3", *FILLED)
        start_run(db, RunStartRequest(**hub_of(CHAIN_WHEEL), by="Ann"))
        await at.type("1\n1\n")
        assert "NOT STARTED" in at.words("#said")
        assert "lent to Ann" in at.words("#said")
        assert at.acts == [RunAct.STARTED]

    async def start_and_leave(at: Shop) -> None:
        await at.press("f3", "1", "enter", "escape", "f3")
        assert at.app.screen is at.desk
        assert "F2 to plan again, then start the run" in at.words("#said")

    in_the_shop(db, act)
    push(db, RunPushedRequest(run="1"))
    end_run(db, RunEndRequest(run="1", abandon=True, why="a rush job", broach_condition="fit"))
    in_the_shop(db, start_and_leave)


def hub_of(asked: PlanRequest) -> dict[str, Any]:
    return {each.name: getattr(asked, each.name) for each in fields(HubQuestion)}
