"""Lines that take every key in its order and complete what is begun."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable

from textual import events
from textual.app import App, ComposeResult

from tui.widgets.entry import KnownWordLine, wait_for_pending_keys


class Bare(App[None]):
    def compose(self) -> ComposeResult:
        yield KnownWordLine(id="line")


def within(act: Callable[[App[None], KnownWordLine], Awaitable[None]]) -> None:
    async def run() -> None:
        app = Bare()
        async with app.run_test() as pilot:
            line = app.query_one(KnownWordLine)
            line.focus()
            await pilot.pause()
            await act(app, line)

    asyncio.run(run())


def test_letters_behind_an_editing_key_do_not_overtake_it() -> None:
    async def act(app: App[None], line: KnownWordLine) -> None:
        for key in (*"ab", "backspace", *"cd", "left", "left", "delete", "x", "home", "y", "end", "z"):
            line.post_message(events.Key(key, key if len(key) == 1 else None))
        await wait_for_pending_keys(app.screen)
        assert line.value == "yaxdz"

    within(act)


def test_right_at_the_end_completes_and_goes_on_to_the_next() -> None:
    async def act(_: App[None], line: KnownWordLine) -> None:
        line.known = ("BR-1", "BR-2", "Kim", "old BR")
        line.value = "br"
        assert line.offers == ["BR-1", "BR-2"]
        taken = []
        for _again in range(3):
            line.cursor_position = len(line.value)
            line.action_cursor_right()
            taken.append(line.value)
        assert taken == ["BR-1", "BR-2", "BR-1"]
        line.value = "im"
        assert line.offers == ["Kim"]
        line.value = "kim"
        line.cursor_position = 1
        line.action_cursor_right()
        assert (line.value, line.cursor_position, line.offers) == ("kim", 2, [])

    within(act)
