"""What is out: with whom, since when; what is overdue first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.message import Message

from broachplan.lengths import Units
from tui.bases.list_screen import ListScreen
from tui.desks import Desks
from tui.lists import OUT_COLUMNS, out_row
from tui.status_words import OVERDUE
from tui.widgets.ledger import Row

if TYPE_CHECKING:
    from broachplan.desks.attendant.list_out import Out, OutList


class OutScreen(ListScreen["Out"]):
    """The chosen piece is taken back by the key that takes back anywhere."""

    CSS_PATH = "../styles/list.tcss"
    NOTHING = "Nothing is out."
    HEADING = "OUT"
    ASKS = "scan or type a tag, a name, a job, or overdue"
    COLUMNS = OUT_COLUMNS

    class Read(Message):
        """The list is there."""

        def __init__(self, out: OutList) -> None:
            super().__init__()
            self.out = out

    def __init__(self, db: str | None, desks: Desks, units: Units) -> None:
        super().__init__(db, desks, units, name="out")

    @property
    def at_hand(self) -> str:
        """The tag of the chosen piece."""
        return self.chosen.tag if self.chosen is not None else ""

    def read(self) -> None:
        """Ask the desk what is out."""
        self.ask(lambda: self.Read(self.attendant.out(self.db)))

    def row(self, item: Out) -> Row:
        """One piece that is out."""
        return out_row(item)

    def headline(self) -> str:
        """How many are out and overdue."""
        late = sum(piece.overdue for piece in self.items or ())
        return f"OUT   {len(self.items or ())} out, {late} {OVERDUE}"

    async def open(self, item: Out) -> None:
        """Show the piece."""
        await self.open_piece(item.tag)

    @on(Read)
    def _is_read(self, event: Read) -> None:
        self.fill(event.out.pieces)
