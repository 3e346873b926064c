"""The form for the hub."""

from __future__ import annotations

from dataclasses import replace
from typing import ClassVar

from textual.binding import Binding, BindingType

from broachplan.questions.hub import FORM_LINES, PlanRequest
from broachplan.questions.line import as_typed, asked
from tui.registry import screen
from tui.widgets.field_form import FieldForm

_LINES = tuple(
    replace(line, hint="(ctrl+g: list)") if line.name == "material" else line for line in FORM_LINES
)


class HubForm(FieldForm):
    """The lines of one question for the machinist's desk."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+g", "materials", "materials", show=False, priority=True, id="hub.materials", tooltip="All materials with their other names, to pick from"),
    ]  # fmt: skip

    def __init__(self, start: PlanRequest | None = None, *, id: str) -> None:
        super().__init__(_LINES, as_typed(start) if start else {}, id=id)

    def asked(self) -> PlanRequest:
        """The question in the form."""
        return asked(PlanRequest, self.values())

    async def action_materials(self) -> None:
        """Pick a material from the list of all; what is typed is kept where none is picked."""
        from tui.widgets.entry import wait_for_pending_keys

        await wait_for_pending_keys(self.line("material"))
        await self.app.push_screen(screen("materials")(self.value("material")), self._picked)

    def _picked(self, name: str | None) -> None:
        if name is not None:
            self.fill({"material": name})
            self.screen.set_focus(self.line("material"))
