"""A result's sheet, laid out for the room there is."""

from __future__ import annotations

from rich.text import Text
from textual.geometry import Size
from textual.widget import Widget

from broachplan.sheets.result import ResultSheet, in_words_of
from tui.sheet import sheet_text
from tui.widgets.keybar import worded


class SheetView(Widget):
    """As high as its sheet is at the width it is given; laid out again when that changes."""

    DEFAULT_CSS = "SheetView { height: auto; }"

    def __init__(self, sheet: ResultSheet | None = None, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.sheet = sheet

    def show(self, sheet: ResultSheet | None) -> None:
        """Show another sheet, if it is another."""
        if sheet != self.sheet:
            self.sheet = sheet
            self.refresh(layout=True)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:  # noqa: ARG002
        """The lines that the sheet takes."""
        return self._text(width).plain.count("\n") + 1

    def render(self) -> Text:
        """The sheet at the width there is."""
        return self._text(self.content_size.width)

    def _text(self, width: int) -> Text:
        return sheet_text(in_words_of(self.sheet, worded(self.app)), width) if self.sheet else Text()
