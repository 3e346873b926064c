"""What the attendant's shorter lists share: a line that narrows them, the chosen row opened by enter."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Sequence
from typing import ClassVar, Generic, TypeVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Input, Static

from broachplan.lengths import Units
from tui.bases.asking import AttendingScreen, Failed
from tui.desks import Desks
from tui.lists import having
from tui.widgets.entry import Entry
from tui.widgets.keybar import KeyBar
from tui.widgets.ledger import Column, Ledger, Row

Item = TypeVar("Item")


class ListScreen(AttendingScreen[None], Generic[Item]):
    """Its rows stand in the ledger ``#rows``; what is typed narrows them.

    ``NOTHING`` stands in an empty list, ``ASKS`` in the empty line; ``sought`` stands in the line from the start.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "open", "open", priority=True, id="list.open", tooltip="Open what is chosen"),
        Binding("down", "step(1)", "next", priority=True, show=False, id="list.down", tooltip="The next row, while typing"),
        Binding("up", "step(-1)", "before", priority=True, show=False, id="list.up", tooltip="The row before, while typing"),
        Binding("pagedown", "page(1)", "page down", priority=True, show=False, id="list.page_down", tooltip="A page of rows down"),
        Binding("pageup", "page(-1)", "page up", priority=True, show=False, id="list.page_up", tooltip="A page of rows up"),
        Binding("f5", "read", "read again", show=False, id="list.read", tooltip="Read the list again"),
        Binding("escape", "leave", "back", priority=True, id="list.leave", tooltip="Back to the list of pieces"),
    ]  # fmt: skip
    NOTHING: ClassVar[str]
    HEADING: ClassVar[str]
    ASKS: ClassVar[str]
    COLUMNS: ClassVar[Sequence[Column]]

    def __init__(self, db: str | None, desks: Desks, units: Units, *, name: str) -> None:
        super().__init__(db, desks, units, name=name)
        self.items: Sequence[Item] | None = None
        self.sought = ""
        self._shown: Sequence[tuple[Row, Item]] = ()

    def compose(self) -> ComposeResult:
        """The line to type in, the list, and what `below` puts under it."""
        yield Static(self.HEADING, id="title", markup=False)
        yield Entry(id="filter", placeholder=self.ASKS, value=self.sought)
        yield Ledger(*self.COLUMNS, id="rows", empty="reading ...")
        yield from self.below()
        yield Static(id="said", markup=False)
        yield KeyBar()

    def below(self) -> ComposeResult:
        """What stands under the list; nothing where a screen has no more to show."""
        yield from ()

    @property
    def ledger(self) -> Ledger:
        """The list."""
        return self.query_one("#rows", Ledger)

    @property
    def chosen(self) -> Item | None:
        """What is chosen."""
        return self._shown[min(self.ledger.chosen, len(self._shown) - 1)][1] if self._shown else None

    @property
    def _stepped(self) -> Ledger:
        return self.focused if isinstance(self.focused, Ledger) else self.ledger

    @abstractmethod
    def row(self, item: Item) -> Row:
        """One row of the list."""

    @abstractmethod
    def headline(self) -> str:
        """The title, when the list is read."""

    @abstractmethod
    async def open(self, item: Item) -> None:
        """Open what is chosen."""

    def fill(self, items: Sequence[Item]) -> None:
        """Show these; the row that was chosen stays so if it is still there."""
        self.items = items
        self.draw()

    def draw(self) -> None:
        """Draw the rows that have what is typed."""
        if self.items is None:
            return
        keep = self._shown[self.ledger.chosen][0] if self._shown else None
        self._shown = having([(self.row(item), item) for item in self.items], self.top.value)
        rows = [row for row, _ in self._shown]
        empty = "Nothing here has all these words." if self.items else self.NOTHING
        self.ledger.fill(rows, chosen=rows.index(keep) if keep in rows else 0, empty=empty)
        self.line("title", self.headline())
        self.draw_chosen()

    def draw_chosen(self) -> None:
        """Draw what belongs to the chosen row."""
        self.refresh_bindings()

    async def action_open(self) -> None:
        """Open the chosen row, or the piece whose tag is typed where no row has it."""
        await self.keys_taken()
        self.draw()
        if self.chosen is not None:
            await self.open(self.chosen)
        elif typed := self.top.value.strip():
            await self.open_piece(typed)

    def action_step(self, rows: int) -> None:
        """Choose another row, of the list with the cursor where there are two."""
        self._stepped.action_step(rows)

    def action_page(self, pages: int) -> None:
        """Choose a row a page further."""
        self._stepped.action_page(pages)

    def action_read(self) -> None:
        """Read again."""
        self.read()

    def action_leave(self) -> None:
        """Back."""
        self.dismiss(None)

    @on(Input.Changed, "#filter")
    def _typed(self) -> None:
        self.draw()

    @on(Ledger.Chosen, "#rows")
    def _other_row(self) -> None:
        self.draw_chosen()

    @on(Failed)
    def _has_failed(self, event: Failed) -> None:
        self.say(event.line, wrong=True)
