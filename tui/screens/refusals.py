"""Why everything else was refused."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType

from broachplan.planner.answer import Answer
from broachplan.sheets.plan import refusals_sheet
from tui.bases.pane import Pane


class RefusalsScreen(Pane):
    """The refusals by rule, the nearest of each. Answers True when all are to be shown."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "show_all", "show all", id="refusals.all", tooltip="Every refused piece, not only the nearest"),
    ]  # fmt: skip

    def __init__(self, answer: Answer) -> None:
        sheet = refusals_sheet(answer)
        super().__init__(sheet.title, sheet, name="refusals")

    def action_show_all(self) -> None:
        """Ask for the rest."""
        self.dismiss(True)
