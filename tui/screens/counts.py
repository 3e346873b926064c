"""The drawers, the longest not counted first: counting them, and settling what is open."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType

from broachplan.crib.homes import Home
from broachplan.questions.reads import CountsRequest, DraftsRequest, DrawerRequest
from broachplan.sheets.table import Row
from broachplan.views.counts import DRAWERS
from tui.bases.settling import SettlingScreen
from tui.registry import screen

if TYPE_CHECKING:
    from broachplan.crib.drafts import Draft
    from broachplan.desks.attendant.count_drawer import Counted
    from broachplan.desks.attendant.list_counts import CountList, DrawerCounted


class CountsScreen(SettlingScreen):
    """Enter counts the chosen drawer, or the one that is typed. How many pieces live in one is not said."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "open", "count", priority=True, id="counts.count", tooltip="Count the drawer that is typed, or the chosen one"),
        Binding("f2", "settle", "settle", priority=True, id="counts.settle", tooltip="Settle the open count of the chosen drawer: a cause for each difference"),
        Binding("f3", "go('count_list')", "all counts", priority=True, id="counts.all", tooltip="Every count, the latest first"),
        Binding("f4", "go('missing')", "missing", priority=True, id="counts.missing", tooltip="What the counts did not find"),
    ]  # fmt: skip
    NAME = "counts"
    LIST = DRAWERS

    def read(self) -> None:
        """The counts, and at first what was begun at this station before the program was."""
        begun = () if self.shop.drafts.read else (DraftsRequest(),)
        self.send(CountsRequest(), *begun, then=self._are_read, group="read")

    def rows(self) -> Sequence[Row]:
        """One drawer each; what was begun here comes first."""
        made = []
        for row, each in zip(super().rows(), self.items, strict=True):
            tags = self.shop.drafts.counts.get(str(each.drawer))
            begun = f"BEGUN, {len(tags)} scanned" if tags else ""
            made.append((*row[:-1], "; ".join(filter(None, (begun, row[-1])))))
        return made

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """There must be something to settle."""
        if action == "settle":
            return True if self.is_mounted and self.chosen and self.chosen.open else None
        return super().check_action(action, parameters)

    async def action_open(self) -> None:
        """Count the drawer that is typed whole, else the chosen one; what nothing has is asked for."""
        await self.keys_taken()
        self.draw()
        typed = self.top.value.strip()
        meant = Home.read(typed).drawer.key
        same = next((each for each in self.items if each.drawer.home.key == meant), self.chosen)
        if same is not None:
            await self.open(same)
        elif typed:
            self.send(DrawerRequest(drawer=typed), then=self._count)

    async def open(self, item: DrawerCounted) -> None:
        """Count it."""
        await self._count(str(item.drawer))

    def action_settle(self) -> None:
        """To the differences of the open count."""
        if self.chosen and self.chosen.open:
            self.open_count(self.chosen.open.number)

    def _are_read(self, listed: CountList, begun: Sequence[Draft] = ()) -> None:
        """Resume what was begun here, and draw."""
        if not self.shop.drafts.read:
            self.shop.drafts.take(begun)
        self.is_read(listed)

    async def _count(self, drawer: str) -> None:
        self.say("")
        await self.app.push_screen(screen("count")(self.db, self.desks, drawer), self._counted)

    async def _counted(self, counted: Counted | None) -> None:
        """On to the differences at once, where there are any."""
        from broachplan.crib.count_words import named

        self.draw()
        if counted is None:
            return
        self.top.value = ""
        if counted.differences:
            await self.settle(counted)
        else:
            self.say(f"{named(counted.count)}.")
