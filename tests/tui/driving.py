"""Helpers that drive the screens in a test."""

from __future__ import annotations

import asyncio
import os
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager, suppress
from pathlib import Path
from unittest.mock import patch

from textual.events import Key
from textual.keys import _character_to_key, key_to_character
from textual.pilot import Pilot
from textual.screen import Screen
from textual.worker import WorkerCancelled

from broachplan.questions.hub import PlanRequest
from tests.tui.answers import QUESTION, Bench
from tui.app import BroachplanApp
from tui.screens.desk import DeskScreen
from tui.widgets.entry import EntryLine

SMALL, LARGE = (80, 24), (140, 45)
GOLDEN = Path(__file__).parent / "golden"
Driver = Callable[["Drive"], Awaitable[None]]
_paint = Screen._compositor_refresh


@asynccontextmanager
async def unpainted(app: BroachplanApp, size: tuple[int, int] = SMALL) -> AsyncIterator[Pilot[None]]:
    """The app, running without a terminal. It is painted once things have settled, not at every step on the way there."""
    with patch.object(Screen, "_compositor_refresh", _paint_later):
        async with app.run_test(size=size) as pilot:
            yield pilot


def _paint_later(screen: Screen[object]) -> None:
    """What changed is remembered by the compositor; a screen under another one hands it up, as ever."""
    if screen is not screen.app.screen:
        _paint(screen)


class Drive:
    """A running app with the desk open, and the hands on its keys."""

    def __init__(self, app: BroachplanApp, pilot: Pilot[None], bench: Bench) -> None:
        self.app = app
        self.pilot = pilot
        self.bench = bench

    async def settle(self) -> None:
        """Wait until no worker runs and no message is left. Looked at, for the pilot's own way sleeps until all is calm."""
        rounds = 0
        while rounds < 2:
            with suppress(WorkerCancelled):  # a screen that was left waits for nothing more
                await self.app.workers.wait_for_complete()
            while self._messages():
                await asyncio.sleep(0)
            await self.pilot.pause(0)
            at_work = any(not worker.is_finished for worker in self.app.workers)
            rounds = 0 if at_work or self._messages() else rounds + 1
        _paint(self.app.screen)

    def _messages(self) -> int:
        """How many messages wait for a widget, a screen or the app."""
        shown = (node for screen in self.app.screen_stack for node in screen.walk_children(with_self=True))
        return sum(each.message_queue_size for each in (self.app, *shown))

    async def press(self, *keys: str) -> None:
        """Press keys, each when all that the one before did is done."""
        for key in keys:
            await self.burst(key)

    async def burst(self, *keys: str) -> None:
        """Press keys at once, as a paste or a quick hand does: all wait in the queue together."""
        for key in keys:
            typed = len(key) == 1
            name, character = (_character_to_key(key), key) if typed else (key, key_to_character(key))
            self.app.post_message(Key(name, character))
        await self.settle()

    async def fill(self, name: str, text: str) -> None:
        """Put a text into a line of the form, as a paste does."""
        self.desk.query_one(f"#{name}").focus()
        self.desk.query_one(f"#{name}", EntryLine).value = text
        await self.settle()

    @property
    def desk(self) -> DeskScreen:
        return next(screen for screen in self.app.screen_stack if isinstance(screen, DeskScreen))

    def words(self, selector: str) -> str:
        """The text a widget of the screen on top shows."""
        return str(self.app.screen.query_one(selector).render())

    def screen(self) -> str:
        """What the terminal shows, as plain text."""
        strips = self.app.screen._compositor.render_strips()
        return "\n".join(strip.text.rstrip() for strip in strips) + "\n"


def drive(
    act: Driver,
    *,
    size: tuple[int, int] = SMALL,
    question: PlanRequest | None = QUESTION,
    bench: Bench | None = None,
    app_of: type[BroachplanApp] = BroachplanApp,
) -> None:
    """Open the screens on a bench of made-up answers and let ``act`` use them. An opening costs more than many keys."""

    async def run() -> None:
        at = bench or Bench()
        app = app_of(None, question, at.desks())
        async with unpainted(app, size) as pilot:
            driven = Drive(app, pilot, at)
            await driven.settle()
            await act(driven)

    asyncio.run(run())


def assert_golden(name: str, text: str) -> None:
    """Compare with the kept picture; BROACHPLAN_UPDATE_SCREENS=1 keeps this one instead."""
    path = GOLDEN / f"{name}.txt"
    if os.environ.get("BROACHPLAN_UPDATE_SCREENS") == "1":
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    assert text == path.read_text(encoding="utf-8")
