"""What is held from today on: for which work, on which days."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.message import Message

from broachplan.lengths import Units
from broachplan.questions.reads import TodayRequest
from tui.bases.list_screen import ListScreen
from tui.desks import Desks
from tui.keep_lists import HOLD_COLUMNS, hold_row
from tui.registry import screen
from tui.widgets.ledger import Row

if TYPE_CHECKING:
    from broachplan.desks.attendant.hold_piece import Hold


class HoldsScreen(ListScreen["Hold"]):
    """What is held is lent for that work only, and no other plan for those days uses it."""

    CSS_PATH = "../styles/list.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "hold", "hold", priority=True, id="holds.hold", tooltip="Hold a piece or a set for named work, by the day"),
        Binding("f3", "release", "release", priority=True, id="holds.release", tooltip="Hold the chosen piece no more on these days, or on some of them"),
    ]  # fmt: skip
    NOTHING = "Nothing is held from today on: F2 holds a piece."
    HEADING = "HOLDS"
    ASKS = "scan or type a tag, a job, a day, or today"
    COLUMNS = HOLD_COLUMNS

    class Read(Message):
        """The holds are there, and which day it is."""

        def __init__(self, holds: tuple[Hold, ...], on: date) -> None:
            super().__init__()
            self.holds = holds
            self.on = on

    def __init__(self, db: str | None, desks: Desks, units: Units, sought: str = "") -> None:
        super().__init__(db, desks, units, name="holds")
        self.sought = sought
        self._on = date.min

    @property
    def at_hand(self) -> str:
        """The tag of the chosen piece."""
        return self.chosen.tag if self.chosen is not None else ""

    def read(self) -> None:
        """Ask the desk what is held."""
        self.ask(
            lambda: self.Read(self.desks.keeper.holds(self.db), self.desks.send(self.db, TodayRequest()))
        )

    def row(self, item: Hold) -> Row:
        """One hold."""
        return hold_row(item, self._on)

    def headline(self) -> str:
        """How many there are, and how many are for today."""
        holds = self.items or ()
        today = sum(hold.first <= self._on <= hold.last for hold in holds)
        return f"HOLDS   {len(holds)} from today on, {today} for today"

    async def open(self, item: Hold) -> None:
        """Show the piece."""
        await self.open_piece(item.tag)

    async def action_hold(self) -> None:
        """To the form of a hold, for the work of the chosen one to begin with."""
        for_what = self.chosen.for_what if self.chosen else ""
        await self.app.push_screen(screen("hold")(self.db, self.desks, "", self.shop.by, for_what=for_what))

    async def action_release(self) -> None:
        """To the form of a release, with the chosen hold in it."""
        start = {}
        if (chosen := self.chosen) is not None:
            last = "" if chosen.last == chosen.first else str(chosen.last)
            start = {"first": str(chosen.first), "last": last}
        await self.app.push_screen(
            screen("release")(self.db, self.desks, self.at_hand, self.shop.by, **start)
        )

    @on(Read)
    def _is_read(self, event: Read) -> None:
        self._on = event.on
        self.fill(event.holds)
