"""What lists of counts share: one is read, then shown or settled."""

from __future__ import annotations

from typing import TYPE_CHECKING

from broachplan.questions.reads import OneCountRequest
from tui.bases.list_screen import ListScreen
from tui.bases.pane import Pane
from tui.registry import screen

if TYPE_CHECKING:
    from broachplan.desks.attendant.list_counts import ShownCount
    from broachplan.desks.attendant.settle_count import Settled


class SettlingScreen(ListScreen):
    """One that is open is settled, any other shown with its causes."""

    def open_count(self, number: int) -> None:
        """Read a count, then show it."""
        self.send(OneCountRequest(number=number), then=self._opens, group="open")

    async def settle(self, shown: ShownCount) -> None:
        """To the differences of a count."""
        await self.app.push_screen(screen("settle")(self.db, self.desks, shown), self._settled)

    async def _opens(self, shown: ShownCount) -> None:
        from broachplan.views.count_sheets import count_sheet

        if shown.count.settled is None:
            await self.settle(shown)
        else:
            sheet = count_sheet(shown)
            await self.app.push_screen(Pane(sheet.title.capitalize(), sheet, name="one_count"))

    async def _settled(self, settled: Settled | None) -> None:
        from broachplan.views.count_sheets import settled_sheet

        if settled is None:
            self.say("The count stays open; F2 resumes it. The causes given are kept at this station.")
        else:
            sheet = settled_sheet(settled)
            await self.app.push_screen(Pane(sheet.title.capitalize(), sheet, name="settled"))
