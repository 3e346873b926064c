"""The form for the hub."""

from __future__ import annotations

from collections.abc import Mapping

from tui.desks import Asked
from tui.fields import FIELDS, Field
from tui.widgets.field_form import FieldForm


def _reason_against(field: Field, text: str, values: Mapping[str, str]) -> str:
    from tui.field_checks import reason_against

    return reason_against(field, text, values["standard"])


class HubForm(FieldForm):
    """The lines of one question for the machinist's desk."""

    def __init__(self, start: Asked | None = None, *, id: str) -> None:
        super().__init__(FIELDS, _as_typed(start) if start else {}, _reason_against, id=id)

    def asked(self) -> Asked:
        """The question as it stands."""
        from broachplan.planner.question import Question

        values = self.values()
        press, day = values.pop("press"), values.pop("on")
        full = values.pop("no_top_clearance") == ""
        return Asked(Question(**values, no_top_clearance=not full), press, day)


def _as_typed(start: Asked) -> dict[str, str]:
    typed = {field.name: str(getattr(start.question, field.name, "")) for field in FIELDS}
    clearance = "no" if start.question.no_top_clearance else ""
    return {**typed, "no_top_clearance": clearance, "press": start.press, "on": start.on}
