"""Shown at once: the desk's lines and its permanent caution, while the desk itself is loaded."""

from __future__ import annotations

from rich.text import Text
from textual.app import ComposeResult
from textual.widgets import Static

from broachplan.questions.hub import FORM_LINES
from tui.safety import SHORT
from tui.stack import StackedScreen
from tui.widgets.field_form import LABEL_WIDTH


class FirstScreen(StackedScreen[None]):
    """Plain text in the places where the desk will put its lines; the app holds the keys typed meanwhile."""

    def __init__(self) -> None:
        super().__init__(name="first")

    def compose(self) -> ComposeResult:
        """Title, lines, caution."""
        yield Static("BROACHPLAN   machinist's desk   opening ...", id="title", markup=False)
        lines = (f"  {field.label}".ljust(LABEL_WIDTH) + field.at_first for field in FORM_LINES)
        yield Static(Text("\n".join(lines)), id="first")
        yield Static(SHORT, id="safety", markup=False)
        yield Static("F1 help", id="keys", markup=False)
