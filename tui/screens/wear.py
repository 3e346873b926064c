"""What each broach has cut; those due for inspection or a regrind first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.message import Message
from textual.widgets import Static

from broachplan.lengths import Units
from tui.bases.list_screen import ListScreen
from tui.bases.piece_acts import PieceActs
from tui.desks import Desks
from tui.keep_lists import WEAR_COLUMNS, wear_row, why_words
from tui.widgets.ledger import Row

if TYPE_CHECKING:
    from broachplan.desks.attendant.list_due import WearList, Worn


class WearScreen(PieceActs[None], ListScreen["Worn"]):
    """The limits are the shop's settings; where it has set none, nothing is due."""

    CSS_PATH = "../styles/list.tcss"
    DEFAULT_CSS = "WearScreen #why { height: 2; padding: 0 1; background: $panel; }"
    NOTHING = "There is no broach in the crib."
    HEADING = "WEAR"
    ASKS = "scan or type the tag of a broach, a day, never, or due"
    COLUMNS = WEAR_COLUMNS

    class Read(Message):
        """The broaches are there."""

        def __init__(self, listed: WearList) -> None:
            super().__init__()
            self.listed = listed

    def __init__(self, db: str | None, desks: Desks, units: Units) -> None:
        super().__init__(db, desks, units, name="wear")
        self._listed: WearList | None = None

    def below(self) -> ComposeResult:
        """Why the chosen one is due."""
        yield Static(id="why", markup=False)

    @property
    def at_hand(self) -> str:
        """The tag of the chosen broach."""
        return self.chosen.tag if self.chosen is not None else ""

    def read(self) -> None:
        """Ask the desk for the broaches."""
        self.ask(lambda: self.Read(self.desks.keeper.due(self.db)))

    def row(self, item: Worn) -> Row:
        """One broach."""
        return wear_row(item, self.units)

    def headline(self) -> str:
        """How many are due, or that the shop has set no limit."""
        if self._listed is None:
            return "WEAR"
        number = len(self._listed.broaches)
        due = sum(bool(each.due) for each in self._listed.broaches)
        return f"WEAR   {number} broach{'' if number == 1 else 'es'}, {due} due"

    def draw_chosen(self) -> None:
        """Why it is due, or what it has cut."""
        self.line("why", why_words(self.chosen, self.units) if self.chosen else "")
        super().draw_chosen()

    async def open(self, item: Worn) -> None:
        """Show the broach."""
        await self.open_piece(item.tag)

    @on(Read)
    def _is_read(self, event: Read) -> None:
        self._listed = event.listed
        if not event.listed.has_limits:
            self.say("Nothing is due: the shop has set no limit; `settings set inspect_cuts 500` sets one.")
        self.fill(event.listed.broaches)
