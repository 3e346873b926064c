"""The drawers, the longest not counted first: counting them, and settling what is open."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.message import Message

from broachplan.crib.homes import Home
from broachplan.lengths import Units
from broachplan.questions.reads import DraftsRequest, DrawerRequest
from tui.bases.list_screen import ListScreen
from tui.count_text import DRAWER_COLUMNS, drawer_row, open_counts, settled_text
from tui.desks import Desks
from tui.registry import screen
from tui.widgets.ledger import Row

if TYPE_CHECKING:
    from broachplan.crib.drafts import Draft
    from broachplan.desks.attendant.count_drawer import Counted
    from broachplan.desks.attendant.list_counts import CountList, DrawerCounted, Head, ShownCount
    from broachplan.desks.attendant.settle_count import Settled


class CountsScreen(ListScreen["DrawerCounted"]):
    """Enter counts the chosen drawer, or the one that is typed. How many pieces live in one is not told."""

    CSS_PATH = "../styles/list.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "open", "count", priority=True, id="counts.count", tooltip="Count the drawer that is typed, or the chosen one"),
        Binding("f2", "settle", "settle", priority=True, id="counts.settle", tooltip="Settle the open count of the chosen drawer: a cause for each difference"),
        Binding("f3", "all", "all counts", priority=True, id="counts.all", tooltip="Every count, the latest first"),
        Binding("f4", "missing", "missing", priority=True, id="counts.missing", tooltip="What the counts did not find"),
    ]  # fmt: skip
    NOTHING = "No piece has a home, so there is no drawer to count."
    HEADING = "COUNTS"
    ASKS = "type a drawer such as A/1, or never, or open; enter counts it"
    COLUMNS = DRAWER_COLUMNS

    class Read(Message):
        """The drawers and the counts are there, and what was begun at this station before the program was."""

        def __init__(self, listed: CountList, begun: Sequence[Draft]) -> None:
            super().__init__()
            self.listed = listed
            self.begun = begun

    class Opens(Message):
        """An open count is there."""

        def __init__(self, shown: ShownCount) -> None:
            super().__init__()
            self.shown = shown

    def __init__(self, db: str | None, desks: Desks, units: Units) -> None:
        super().__init__(db, desks, units, name="counts")
        self._listed: CountList | None = None

    def read(self) -> None:
        """Ask the desk for the counts."""
        keeper, drafts = self.desks.keeper, self.shop.drafts
        self.ask(
            lambda: self.Read(
                keeper.counts(self.db), () if drafts.read else self.desks.send(self.db, DraftsRequest())
            )
        )

    def row(self, item: DrawerCounted) -> Row:
        """One drawer."""
        tags = self.shop.drafts.counts.get(str(item.drawer))
        return drawer_row(item, self._open_of(item), len(tags) if tags else None)

    def headline(self) -> str:
        """How many drawers there are, and what is open."""
        if self._listed is None:
            return "COUNTS"
        homeless = f", {self._listed.homeless} pieces without a home" if self._listed.homeless else ""
        return f"COUNTS   {len(self._listed.drawers)} drawers, the longest not counted first; {len(self._listed.open)} open{homeless}"

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """There must be something to settle."""
        if action == "settle":
            return True if self.is_mounted and self.chosen and self._open_of(self.chosen) else None
        return super().check_action(action, parameters)

    async def action_open(self) -> None:
        """Count the drawer that is typed whole, else the chosen one; what nothing has is asked for."""
        await self.keys_taken()
        self.draw()
        typed = self.top.value.strip()
        meant = Home.read(typed).drawer.key
        same = next((each for each in self.items or () if each.drawer.home.key == meant), None)
        if same is not None:
            await self.open(same)
        elif self.chosen is not None:
            await self.open(self.chosen)
        elif typed:
            self.send(DrawerRequest(drawer=typed), then=self._count)

    async def open(self, item: DrawerCounted) -> None:
        """Count it."""
        await self._count(str(item.drawer))

    def action_settle(self) -> None:
        """To the differences of the open count."""
        head = self._open_of(self.chosen) if self.chosen else None
        if head is not None:
            self.ask(lambda: self.Opens(self.desks.keeper.one_count(self.db, head.number)), "settle")

    async def action_all(self) -> None:
        """To all counts."""
        await self.app.push_screen(screen("count_list")(self.db, self.desks, self.shop_units))

    async def action_missing(self) -> None:
        """To what is missing."""
        await self.app.push_screen(screen("missing")(self.db, self.desks, self.shop_units))

    @on(Read)
    def _is_read(self, event: Read) -> None:
        self._listed = event.listed
        if not self.shop.drafts.read:
            self.shop.drafts.take(event.begun)
        self.fill(event.listed.drawers)

    @on(Opens)
    async def _opens(self, event: Opens) -> None:

        await self.app.push_screen(screen("settle")(self.db, self.desks, event.shown), self._settled)

    def _open_of(self, item: DrawerCounted) -> Head | None:
        return open_counts(self._listed).get(item.drawer.home.key) if self._listed else None

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
            await self.app.push_screen(screen("settle")(self.db, self.desks, counted), self._settled)
        else:
            self.say(f"{named(counted.count)}.")

    async def _settled(self, settled: Settled | None) -> None:
        from tui.bases.pane import Pane

        if settled is None:
            self.say("The count stays open; F2 resumes it. The causes given are kept at this station.")
            return
        title = f"Count {settled.count.number} of {settled.count.drawer} is settled"
        await self.app.push_screen(Pane(title, settled_text(settled), name="settled"))
