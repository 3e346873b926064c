"""Every count, the latest first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from broachplan.views.counts import COUNTS
from tui.bases.settling import SettlingScreen

if TYPE_CHECKING:
    from broachplan.desks.attendant.list_counts import Head


class CountListScreen(SettlingScreen):
    """Enter shows a count with its causes; one that is open is settled."""

    NAME = "count_list"
    LIST = COUNTS

    async def open(self, item: Head) -> None:
        """Read it, then show it."""
        self.open_count(item.number)
