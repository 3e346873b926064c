"""Every count, the latest first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.message import Message

from broachplan.crib.count_words import named
from broachplan.lengths import Units
from tui.bases.list_screen import ListScreen
from tui.bases.pane import Pane
from tui.count_text import COUNT_COLUMNS, count_row, count_text, settled_text
from tui.desks import Desks
from tui.registry import screen
from tui.widgets.ledger import Row

if TYPE_CHECKING:
    from broachplan.desks.attendant.list_counts import CountList, Head, ShownCount
    from broachplan.desks.attendant.settle_count import Settled


class CountListScreen(ListScreen["Head"]):
    """Enter shows a count with its causes; one that is open is settled."""

    CSS_PATH = "../styles/list.tcss"
    NOTHING = "Nothing was counted yet."
    HEADING = "ALL COUNTS"
    ASKS = "type a number, a drawer, a name, a day, or open"
    COLUMNS = COUNT_COLUMNS

    class Read(Message):
        """The counts are there."""

        def __init__(self, listed: CountList) -> None:
            super().__init__()
            self.listed = listed

    class Opens(Message):
        """The count to be shown is there."""

        def __init__(self, shown: ShownCount) -> None:
            super().__init__()
            self.shown = shown

    def __init__(self, db: str | None, desks: Desks, units: Units) -> None:
        super().__init__(db, desks, units, name="count_list")

    def read(self) -> None:
        """Ask the desk for the counts."""
        self.ask(lambda: self.Read(self.desks.keeper.counts(self.db)))

    def row(self, item: Head) -> Row:
        """One count."""
        return count_row(item)

    def headline(self) -> str:
        """How many there are and how many are open."""
        heads = self.items or ()
        return f"ALL COUNTS   {len(heads)}, {sum(head.settled is None for head in heads)} open"

    async def open(self, item: Head) -> None:
        """Read it, then show it."""
        self.ask(lambda: self.Opens(self.desks.keeper.one_count(self.db, item.number)), "open")

    @on(Read)
    def _is_read(self, event: Read) -> None:
        self.fill(event.listed.counts)

    @on(Opens)
    async def _opens(self, event: Opens) -> None:

        count = event.shown.count
        if count.settled is None:
            await self.app.push_screen(screen("settle")(self.db, self.desks, event.shown), self._settled)
        else:
            await self.app.push_screen(
                Pane(named(count).capitalize(), count_text(event.shown), name="one_count")
            )

    async def _settled(self, settled: Settled | None) -> None:
        if settled is not None:
            title = f"Count {settled.count.number} of {settled.count.drawer} is settled"
            await self.app.push_screen(Pane(title, settled_text(settled), name="settled"))
