"""Keys that choose a row of a list while something is typed above it."""

from __future__ import annotations

from typing import ClassVar, TypeVar

from textual.binding import Binding, BindingType

from tui.stack import StackedScreen
from tui.widgets.entry import EntryLine
from tui.widgets.ledger import Ledger

Result = TypeVar("Result")


class RowKeys(StackedScreen[Result]):
    """A screen with a line to type in and a list; of two lists the keys move the one with the cursor, else the first."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down", "step(1)", "next", priority=True, show=False, id="rows.down", tooltip="The next row, while typing"),
        Binding("up", "step(-1)", "before", priority=True, show=False, id="rows.up", tooltip="The row before, while typing"),
        Binding("pagedown", "page(1)", "page down", priority=True, show=False, id="rows.page_down", tooltip="A page of rows down"),
        Binding("pageup", "page(-1)", "page up", priority=True, show=False, id="rows.page_up", tooltip="A page of rows up"),
    ]  # fmt: skip

    @property
    def picked(self) -> bool:
        """Whether the row was chosen by a key, or by what is typed."""
        return self._stepped.picked or any(line.value.strip() for line in self.query(EntryLine))

    def action_step(self, rows: int) -> None:
        """Choose another row."""
        self._stepped.action_step(rows)

    def action_page(self, pages: int) -> None:
        """Choose a row a page further."""
        self._stepped.action_page(pages)

    @property
    def _stepped(self) -> Ledger:
        return self.focused if isinstance(self.focused, Ledger) else self.query(Ledger).first()
