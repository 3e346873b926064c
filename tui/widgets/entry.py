"""A line to type in that takes no hidden characters."""

from __future__ import annotations

from textual.widgets import Input

from tui.plain import plain


class Entry(Input):
    """An input one row high; what a paste smuggles in is shown as a question mark and so refused."""

    def __init__(self, *, id: str, placeholder: str = "", value: str = "") -> None:
        super().__init__(
            value=plain(value), placeholder=placeholder, id=id, compact=True, select_on_focus=False
        )

    def validate_value(self, value: str) -> str:
        """The value without characters that a terminal would obey."""
        return plain(value)
