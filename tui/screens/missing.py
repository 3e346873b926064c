"""What the counts did not find, and noting that it turned up."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.message import Message

from broachplan.lengths import Units
from tui.bases.list_screen import ListScreen
from tui.count_text import MISSING_COLUMNS, missing_row
from tui.desks import Desks
from tui.registry import screen
from tui.widgets.ledger import Row

if TYPE_CHECKING:
    from broachplan.crib.homes import Placed


class MissingScreen(ListScreen["Placed"]):
    """No plan uses these, and they are not lent."""

    CSS_PATH = "../styles/list.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "found", "found", priority=True, id="missing.found", tooltip="The chosen piece, or another that is missing, was found"),
    ]  # fmt: skip
    NOTHING = "Nothing is missing."
    HEADING = "MISSING"
    ASKS = "scan or type a tag, a kind, a home, a set, or a day"
    COLUMNS = MISSING_COLUMNS

    class Read(Message):
        """The missing pieces are there."""

        def __init__(self, pieces: tuple[Placed, ...]) -> None:
            super().__init__()
            self.pieces = pieces

    def __init__(self, db: str | None, desks: Desks, units: Units) -> None:
        super().__init__(db, desks, units, name="missing")

    @property
    def at_hand(self) -> str:
        """The tag of the chosen piece."""
        return self.chosen.tag if self.chosen is not None else ""

    def read(self) -> None:
        """Ask the desk what is missing."""
        self.ask(lambda: self.Read(self.desks.keeper.missing(self.db)))

    def row(self, item: Placed) -> Row:
        """One missing piece."""
        return missing_row(item)

    def headline(self) -> str:
        """How many are missing."""
        return f"MISSING   {len(self.items or ())}, the longest missing first"

    async def open(self, item: Placed) -> None:
        """Show the piece."""
        await self.open_piece(item.tag)

    async def action_found(self) -> None:
        """To the form of what is found."""
        await self.app.push_screen(screen("found")(self.db, self.desks, self.at_hand, self.shop.by))

    @on(Read)
    def _is_read(self, event: Read) -> None:
        self.fill(event.pieces)
