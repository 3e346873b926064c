"""A text to read over the desk: cautions, refusals, what to make, help."""

from __future__ import annotations

from typing import ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from broachplan.sheets.result import ResultSheet
from tui.plain import plain
from tui.stack import StackedScreen
from tui.widgets.keybar import KeyBar
from tui.widgets.sheet_view import SheetView


class Pane(ModalScreen[bool], StackedScreen[bool]):
    """One titled text or sheet that scrolls. Answers False when it is closed, True where it asks for more."""

    CSS_PATH = "../styles/pane.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "back", "back", id="pane.back", tooltip="Close this text"),
        Binding("up", "scroll_text(-1)", "up", show=False, id="pane.up", tooltip="A line up"),
        Binding("down", "scroll_text(1)", "down", show=False, id="pane.down", tooltip="A line down"),
        Binding("pageup", "scroll_text(-12)", "page up", show=False, id="pane.page_up", tooltip="A page up"),
        Binding("pagedown,space", "scroll_text(12)", "page down", id="pane.page_down", tooltip="A page down"),
    ]  # fmt: skip

    def __init__(self, title: str, text: Text | ResultSheet, *, name: str) -> None:
        super().__init__(name=name)
        self.heading = title
        self.text = text

    def compose(self) -> ComposeResult:
        """Title, text, keys."""
        with Vertical(id="pane"):
            yield Static(Text(plain(self.heading)), id="pane-title")
            with VerticalScroll(id="pane-body", can_focus=False):
                if isinstance(self.text, Text):
                    yield Static(self.text, id="pane-text")
                else:
                    yield SheetView(self.text, id="pane-text")
            yield KeyBar()

    def show_text(self, text: Text) -> None:
        """Put another text in its place."""
        self.text = text
        self.query_one("#pane-text", Static).update(text)

    def action_back(self) -> None:
        """Close."""
        self.dismiss(False)

    def action_scroll_text(self, lines: int) -> None:
        """Scroll."""
        self.query_one("#pane-body").scroll_relative(y=lines, animate=False)
