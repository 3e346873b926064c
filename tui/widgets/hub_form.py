"""The form for the hub."""

from __future__ import annotations

from broachplan.questions.hub import FORM_LINES, PlanRequest
from broachplan.questions.line import as_typed, asked
from tui.widgets.field_form import FieldForm


class HubForm(FieldForm):
    """The lines of one question for the machinist's desk."""

    def __init__(self, start: PlanRequest | None = None, *, id: str) -> None:
        super().__init__(FORM_LINES, as_typed(start) if start else {}, id=id)

    def asked(self) -> PlanRequest:
        """The question as it stands."""
        return asked(PlanRequest, self.values())
