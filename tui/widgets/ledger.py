"""A list in columns that draws only the rows in sight, so that ten thousand pieces scroll like ten."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rich.segment import Segment
from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Size
from textual.message import Message
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip

from broachplan.sheets.result import Column
from broachplan.sheets.table import Row, widths
from tui.plain import fitted, plain
from tui.widgets.keybar import worded


class Ledger(ScrollView, can_focus=True):
    """Rows of plain text under fixed headings; the chosen row carries a mark, not only a colour."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {"ledger--heading", "ledger--chosen"}
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "step(-1)", "row up", show=False, id="ledger.up", tooltip="Choose the row above"),
        Binding("down", "step(1)", "row down", show=False, id="ledger.down", tooltip="Choose the row below"),
        Binding("pageup", "page(-1)", "page up", show=False, id="ledger.page_up", tooltip="A page up"),
        Binding("pagedown", "page(1)", "page down", show=False, id="ledger.page_down", tooltip="A page down"),
        Binding(
            "home", "leap(0)", "first row", show=False, id="ledger.first", tooltip="Choose the first row"
        ),
        Binding("end", "leap(-1)", "last row", show=False, id="ledger.last", tooltip="Choose the last row"),
        Binding("enter", "take", "open row", show=False, id="ledger.take", tooltip="Open the chosen row"),
    ]
    chosen: reactive[int] = reactive(0)

    class Chosen(Message):
        """Another row is chosen."""

        def __init__(self, ledger: Ledger, row: int) -> None:
            super().__init__()
            self.ledger = ledger
            self.row = row

        @property
        def control(self) -> Ledger:
            """The ledger it happened in."""
            return self.ledger

    class Taken(Chosen):
        """The chosen row is opened."""

    class InSight(Chosen):
        """Other rows may be in sight: the room or the rows have changed, or they were scrolled."""

    def __init__(self, *columns: Column, id: str, empty: str = "") -> None:
        super().__init__(id=id)
        self._columns = columns
        self._rows: Sequence[Row] = ()
        self._widths: list[int] = [0] * len(columns)
        self._empty = empty
        # Whether somebody chose the row: a list that was only opened has a first row too.
        self.picked = False

    @property
    def rows(self) -> Sequence[Row]:
        """The rows shown."""
        return self._rows

    @property
    def below(self) -> int:
        """The place of the first row below those in sight; as many as there are rows where none is."""
        return min(self.scroll_offset.y + max(self.size.height - 1, 0), len(self._rows))

    def fill(self, rows: Sequence[Row], *, chosen: int = 0, empty: str | None = None) -> None:
        """Show these rows; ``empty`` is shown when there is none."""
        self._rows = rows
        if empty is not None:
            self._empty = empty
        self._measure()
        self.chosen = max(0, min(chosen, len(rows) - 1))
        self.picked = self.picked and self.chosen == chosen > 0
        self._follow()
        self.refresh()
        self.post_message(self.InSight(self, self.chosen))

    def action_step(self, rows: int) -> None:
        """Choose a row further up or down."""
        self._choose(self.chosen + rows)

    def action_page(self, pages: int) -> None:
        """Choose a row a page further."""
        self._choose(self.chosen + pages * max(self.size.height - 2, 1))

    def action_leap(self, row: int) -> None:
        """Choose the first row, or with -1 the last."""
        self._choose(row if row >= 0 else len(self._rows) - 1)

    def action_take(self) -> None:
        """Send that the chosen row is opened."""
        if self._rows:
            self.post_message(self.Taken(self, self.chosen))

    def on_click(self, event: events.Click) -> None:
        """Choose the row under the mouse; a second click opens it."""
        row = event.y - 1 + self.scroll_offset.y
        if event.y > 0 and row < len(self._rows):
            if event.chain > 1 and row == self.chosen:
                self.action_take()
            self._choose(row)

    def on_resize(self) -> None:
        """Distribute the room again."""
        self._measure()
        self._follow()
        self.post_message(self.InSight(self, self.chosen))

    def watch_scroll_y(self, old_value: float, new_value: float) -> None:
        """Draw what is in sight now."""
        super().watch_scroll_y(old_value, new_value)
        self.post_message(self.InSight(self, self.chosen))

    def watch_show_vertical_scrollbar(self) -> None:
        """The bar takes a column from the rows, or gives it back."""
        self._measure()
        self.refresh()

    @property
    def _width(self) -> int:
        """The columns of the screen that rows are drawn in."""
        return self.scrollable_content_region.width

    def render_line(self, y: int) -> Strip:
        """One line of what is in sight; the first is the headings."""
        width = self._width
        if y == 0:
            heading = self.get_component_rich_style("ledger--heading")
            return Strip([Segment(self._line([c.title for c in self._columns], " ", width), heading)])
        row = y - 1 + self.scroll_offset.y
        if not self._rows and y == 1:
            return Strip([Segment(fitted(f"  {self._empty}", width).ljust(width), self.rich_style)])
        if row >= len(self._rows):
            return Strip.blank(width, self.rich_style)
        marked = row == self.chosen
        style = self.get_component_rich_style("ledger--chosen") if marked else self.rich_style
        cells = [worded(self.app).sentence(plain(cell)) for cell in self._rows[row]]
        return Strip([Segment(self._line(cells, "▸" if marked else " ", width), style)])

    def watch_chosen(self) -> None:
        """Redraw, and send the choice."""
        self._follow()
        self.refresh()
        if self._rows:
            self.post_message(self.Chosen(self, self.chosen))

    def _choose(self, row: int) -> None:
        self.picked = True
        self.chosen = max(0, min(row, len(self._rows) - 1))

    def _follow(self) -> None:
        room = max(self.size.height - 1, 1)
        top = self.scroll_offset.y
        if not top <= self.chosen < top + room:
            target = self.chosen if self.chosen < top else self.chosen - room + 1
            self.scroll_to(y=target, animate=False, immediate=True)

    def _measure(self) -> None:
        """Columns as wide as their text asks; what is missing is taken from those that drop or shrink."""
        if self._width:
            self._widths = widths(self._columns, self._rows, self._width - 2)
        self.virtual_size = Size(self._width, len(self._rows) + 1)

    def _line(self, cells: Sequence[str], mark: str, width: int) -> str:
        shown = []
        for cell, column, room in zip(cells, self._columns, self._widths, strict=True):
            if room:
                text = fitted(cell, room, middle=column.tags)
                shown.append(text.rjust(room) if column.right else text.ljust(room))
        return fitted(f"{mark} {' '.join(shown)}", width).ljust(width)
