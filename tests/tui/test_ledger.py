"""The list in columns."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable

from textual.app import App, ComposeResult
from textual.pilot import Pilot

from broachplan.sheets.result import Column
from tui.widgets.ledger import Ledger

COLUMNS = (
    Column("tag", least=8, tags=True),
    Column("passes", right=True),
    Column("load", right=True, drops=1),
    Column("press", drops=2),
)
ROWS = [(f"GU-1000-0250-{place}", str(place), "2,158", "ARBOR-3") for place in range(50)]


class Bare(App[None]):
    def __init__(self) -> None:
        super().__init__()
        self.reported: list[Ledger.Chosen] = []

    def compose(self) -> ComposeResult:
        yield Ledger(*COLUMNS, id="list", empty="none of them")

    def on_ledger_chosen(self, event: Ledger.Chosen) -> None:
        self.reported.append(event)

    def on_ledger_taken(self, event: Ledger.Taken) -> None:
        self.reported.append(event)


def within(act: Callable[[Pilot[None], Ledger], Awaitable[None]], size: tuple[int, int] = (60, 10)) -> None:
    async def run() -> None:
        app = Bare()
        async with app.run_test(size=size) as pilot:
            ledger = app.query_one(Ledger)
            ledger.focus()
            await act(pilot, ledger)

    asyncio.run(run())


def lines(ledger: Ledger) -> list[str]:
    return [ledger.render_line(y).text.rstrip() for y in range(ledger.size.height)]


def test_the_chosen_row_carries_a_mark_and_stays_in_sight() -> None:
    async def act(pilot: Pilot[None], ledger: Ledger) -> None:
        ledger.fill(ROWS)
        await pilot.pause()
        ledger.action_leap(-1)
        await pilot.pause()
        shown = lines(ledger)
        assert shown[0].split()[0] == "tag"
        assert shown[-1].startswith("▸ GU-1000-0250-49")
        assert sum(line.startswith("▸") for line in shown) == 1
        ledger.action_step(-49)
        await pilot.pause()
        assert lines(ledger)[1].startswith("▸ GU-1000-0250-0")

    within(act)


def test_a_narrow_list_drops_columns_before_it_cuts_figures() -> None:
    async def act(pilot: Pilot[None], ledger: Ledger) -> None:
        ledger.fill(ROWS)
        await pilot.pause()
        assert lines(ledger)[0].split() == ["tag", "passes", "load"]
        assert "2,158" in lines(ledger)[1]
        assert "GU-10…50-0" in lines(ledger)[1]

    within(act, size=(27, 10))


def test_steps_do_not_leave_the_list_and_enter_opens_a_row() -> None:
    async def act(pilot: Pilot[None], ledger: Ledger) -> None:
        ledger.fill(ROWS[:2])
        await pilot.pause()
        ledger.action_step(-3)
        assert ledger.chosen == 0
        ledger.action_page(1)
        assert ledger.chosen == 1
        ledger.action_take()
        await pilot.pause()
        reported = pilot.app.reported[-1]  # type: ignore[attr-defined]
        assert isinstance(reported, Ledger.Taken)
        assert reported.row == 1
        assert reported.control is ledger

    within(act)


def test_an_empty_list_says_why() -> None:
    async def act(pilot: Pilot[None], ledger: Ledger) -> None:
        ledger.fill(ROWS)
        await pilot.pause()
        ledger.fill([])
        await pilot.pause()
        assert "none of them" in lines(ledger)[1]
        ledger.action_take()
        ledger.action_leap(-1)
        assert ledger.chosen == 0

    within(act)


def test_ten_thousand_rows_are_filled_as_quickly_as_fifty() -> None:
    """Nothing is drawn that is not in sight: the cost of filling must not grow with the rows."""

    async def act(pilot: Pilot[None], ledger: Ledger) -> None:
        many = ROWS * 200
        calls = 0
        line = ledger._line

        def counted(*words: object) -> str:
            nonlocal calls
            calls += 1
            return line(*words)  # type: ignore[arg-type]

        ledger._line = counted  # type: ignore[method-assign,assignment]
        ledger.fill(many)
        await pilot.pause()
        lines(ledger)
        assert len(ledger.rows) == 10_000
        assert calls <= ledger.size.height * 6

    within(act)


def test_markup_and_hidden_characters_in_a_cell_are_plain_text() -> None:
    async def act(pilot: Pilot[None], ledger: Ledger) -> None:
        ledger.fill([("[b]x[/b]", "\x1b[31m", "", "")])
        await pilot.pause()
        assert "[b]x[/b]" in lines(ledger)[1]
        assert "\x1b" not in lines(ledger)[1]

    within(act)
