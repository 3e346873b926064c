"""Helpers that drive the attendant's screens on a real crib, with keys as quick as a scanner's."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable

from textual.events import Key
from textual.keys import _character_to_key

from tests.tui.answers import Bench
from tests.tui.driving import SMALL, Drive, unpainted
from tui.app import BroachplanApp
from tui.desks import Desks
from tui.widgets.entry import EntryLine
from tui.widgets.ledger import Ledger

Act = Callable[["Attending"], Awaitable[None]]


class Attending(Drive):
    """A running app on a crib, and hands that type without a pause."""

    async def type(self, *keys: str) -> None:
        """All keys in one burst, then wait: ``"=B-250"`` is text, anything else the name of a key."""
        for key in keys:
            if key[:1] == "=":
                for character in key[1:]:
                    self.post(character)
            else:
                self.post(key)
        await self.settle()

    def post(self, key: str) -> None:
        """One key: a letter, or the name of a key."""
        typed = len(key) == 1
        self.app.post_message(Key(_character_to_key(key) if typed else key, key if typed else None))

    async def calm(self) -> None:
        """Wait until nothing more happens on the screens, whatever the crib is still at."""
        for _ in range(3):
            while self._messages() and not self.app._exit:
                await asyncio.sleep(0)
            await asyncio.sleep(0)

    @property
    def name(self) -> str:
        """The screen on top."""
        return self.app.screen.name or ""

    @property
    def rows(self) -> list[tuple[str, ...]]:
        """The rows of its first list."""
        return list(self.app.screen.query(Ledger).first().rows)

    def typed(self, name: str) -> str:
        """The text in a line of the screen on top."""
        return self.app.screen.query_one(f"#{name}", EntryLine).value


def attend(
    db: str | None,
    act: Act,
    *,
    size: tuple[int, int] = SMALL,
    desks: Desks | None = None,
    first_tools: bool = False,
) -> None:
    """Open the screens on a crib and let ``act`` use them; the first thing on screen is the machinist's desk."""

    async def run() -> None:
        app = BroachplanApp(db, desks=desks, first_tools=first_tools)
        async with unpainted(app, size) as pilot:
            at = Attending(app, pilot, Bench())
            await at.settle()
            await act(at)

    asyncio.run(run())
