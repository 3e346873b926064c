"""The marked boxes: complete, or what each lacks; below, the pieces of the chosen one."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widgets import Static

from broachplan.lengths import Units
from broachplan.questions.reads import TodayRequest
from tui.bases.list_screen import ListScreen
from tui.desks import Desks
from tui.lists import MEMBER_COLUMNS, SET_COLUMNS, member_rows, set_row
from tui.registry import screen
from tui.widgets.ledger import Ledger, Row

if TYPE_CHECKING:
    from broachplan.crib.sets import ToolSet


class SetsScreen(ListScreen["ToolSet"]):
    """Enter goes on to the pieces of the chosen set, and there opens one."""

    CSS_PATH = "../styles/list.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "join", "put in", priority=True, id="sets.join", tooltip="Put pieces, or another set, into the chosen set or a new one"),
        Binding("f3", "split", "take out", priority=True, id="sets.split", tooltip="Take the chosen piece out of the chosen set, or all of it"),
    ]  # fmt: skip
    NOTHING = "No piece belongs to a set."
    HEADING = "SETS"
    ASKS = "type the name of a set, a tag that it lacks, or complete"
    COLUMNS = SET_COLUMNS

    class Read(Message):
        """The sets are there, as they are on a day."""

        def __init__(self, sets: tuple[ToolSet, ...], on: date) -> None:
            super().__init__()
            self.sets = sets
            self.on = on

    def __init__(self, db: str | None, desks: Desks, units: Units) -> None:
        super().__init__(db, desks, units, name="sets")
        self._on = date.min

    def below(self) -> ComposeResult:
        """The pieces of the chosen set."""
        yield Static(id="set-name", markup=False)
        yield Ledger(*MEMBER_COLUMNS, id="members", empty="")

    @property
    def at_hand(self) -> str:
        """The name of the chosen set; among its pieces, the tag of the chosen one."""
        if self.chosen is None:
            return ""
        members = self.query_one("#members", Ledger)
        return members.rows[members.chosen][0] if members.has_focus and members.rows else self.chosen.name

    def read(self) -> None:
        """Ask the desk for the sets."""
        self.ask(self._read)

    def row(self, item: ToolSet) -> Row:
        """One set."""
        return set_row(item, self._on)

    def headline(self) -> str:
        """How many there are and how many are complete."""
        sets = self.items or ()
        return f"SETS   {len(sets)}, {sum(box.complete for box in sets)} complete"

    def draw_chosen(self) -> None:
        """The pieces of the chosen set."""
        box, members = self.chosen, self.query_one("#members", Ledger)
        self.line("set-name", f"The pieces of {box.name}" if box else "")
        members.fill(member_rows(box, self._on) if box else [], chosen=members.chosen)
        self.refresh_bindings()

    async def open(self, item: ToolSet) -> None:
        """From the set to its pieces, from one of those to its own screen."""
        members = self.query_one("#members", Ledger)
        if members.has_focus and item.pieces:
            await self.open_piece(item.pieces[members.chosen].tag)
        else:
            self.set_focus(members)

    async def action_join(self) -> None:
        """To the form of what goes into a set, the chosen one to begin with."""
        into = self.chosen.name if self.chosen else ""
        await self.app.push_screen(screen("join")(self.db, self.desks, "", self.shop.by, into=into))

    async def action_split(self) -> None:
        """To the form of what comes out of the chosen set."""
        out_of = self.chosen.name if self.chosen else ""
        at_hand = "" if self.at_hand == out_of else self.at_hand
        await self.app.push_screen(screen("split")(self.db, self.desks, at_hand, self.shop.by, out_of=out_of))

    def action_leave(self) -> None:
        """From the pieces back to the sets, from the sets back to the list of pieces."""
        if self.query_one("#members", Ledger).has_focus:
            self.set_focus(self.top)
        else:
            super().action_leave()

    @on(Read)
    def _is_read(self, event: Read) -> None:
        self._on = event.on
        self.fill(event.sets)

    def _read(self) -> Message:
        return self.Read(self.attendant.sets(self.db), self.desks.send(self.db, TodayRequest()))
