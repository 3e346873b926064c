"""A result's sheet, laid out for the room there is."""

from __future__ import annotations

from rich.text import Text
from textual.geometry import Size
from textual.widget import Widget

from broachplan.sheets.result import ResultSheet
from tui.sheet import sheet_text


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
        return sheet_text(self.sheet, width) if self.sheet else Text()
