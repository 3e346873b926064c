"""What was in the crib at the end of a past day."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widgets import Input

from broachplan.lengths import Units
from broachplan.questions.reads import TodayRequest
from tui.bases.list_screen import ListScreen
from tui.desks import Desks
from tui.keep_lists import STOCK_COLUMNS, older_words, stock_row, stock_words
from tui.widgets.ledger import Row

if TYPE_CHECKING:
    from broachplan.crib.homes import Placed
    from broachplan.crib.stock import Stock

# What may become a day while it is typed is not looked for in the rows.
_DAY_BEGUN = re.compile(r"\d{4}-[\d-]*", re.ASCII)


class StockScreen(ListScreen["Placed"]):
    """A day that is typed shows the list as it was then; other words narrow it."""

    CSS_PATH = "../styles/list.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "on_day(-1)", "a day back", priority=True, id="stock.back", tooltip="The stock a day earlier"),
        Binding("f3", "on_day(1)", "a day on", priority=True, id="stock.on", tooltip="The stock a day later"),
    ]  # fmt: skip
    NOTHING = "Nothing was in the crib then."
    HEADING = "STOCK"
    ASKS = "type a day such as 2031-05-28 and enter; or words to narrow the list"
    COLUMNS = STOCK_COLUMNS

    class Read(Message):
        """The stock of a day is there."""

        def __init__(self, told: Stock) -> None:
            super().__init__()
            self.told = told

    def __init__(self, db: str | None, desks: Desks, units: Units) -> None:
        super().__init__(db, desks, units, name="stock")
        self.told: Stock | None = None
        self._day: date | None = None

    @property
    def at_hand(self) -> str:
        """The tag of the chosen piece."""
        return self.chosen.tag if self.chosen is not None else ""

    def read(self) -> None:
        """Ask the desk for the stock of the day."""
        on_day = self._day
        self.ask(
            lambda: self.Read(
                self.desks.keeper.stock(self.db, on_day or self.desks.send(self.db, TodayRequest()))
            )
        )

    def row(self, item: Placed) -> Row:
        """One piece as it was."""
        return stock_row(item, self.told.on if self.told else date.min)

    def headline(self) -> str:
        """Which day, and how many pieces there were."""
        return f"STOCK at the end of {self.told.on}   {stock_words(self.told)}" if self.told else "STOCK"

    async def open(self, item: Placed) -> None:
        """Show the piece as it is now."""
        await self.open_piece(item.tag)

    async def action_open(self) -> None:
        """Another day where one is typed; else the chosen piece."""
        from broachplan.crib.words import read_day
        from broachplan.errors import InputError

        await self.keys_taken()
        typed = self.top.value.strip()
        if not _DAY_BEGUN.fullmatch(typed):
            await super().action_open()
            return
        try:
            self._to(read_day(typed, "day"))
        except InputError as error:
            self.say(str(error), wrong=True)

    def action_on_day(self, days: int) -> None:
        """The day before, or after."""
        if self.told is None:
            return
        try:
            self._to(self.told.on + timedelta(days=days))
        except OverflowError:
            self.say(f"{self.told.on} is as far as the calendar goes.", wrong=True)

    @on(Input.Changed, "#filter")
    def _typed_day(self, event: Input.Changed) -> None:
        """In place of the list's own way: a day is not looked for in the rows."""
        event.prevent_default()
        if not _DAY_BEGUN.fullmatch(event.value.strip()):
            self.draw()

    @on(Read)
    def _is_read(self, event: Read) -> None:
        self.told, self._day = event.told, event.told.on
        self.say(older_words(event.told))
        if _DAY_BEGUN.fullmatch(self.top.value.strip()):
            self.top.value = ""
        self.fill(event.told.pieces)

    def _to(self, on_day: date | None) -> None:
        self._day = on_day
        self.say("")
        self.read()
