"""Record a regrind: the heights measured after it, with geometry's word beside them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.widgets import Static

from broachplan.crib.wear import came_down_words
from broachplan.lengths import Units
from broachplan.questions.line import Line, asked
from broachplan.questions.piece import KNOWN, RegrindRequest
from tui.bases.piece_form import LABEL_WIDTH, PieceForm
from tui.desks import Desks
from tui.grind_fields import geometry, heights, lines_of, reason_against
from tui.plain import plain
from tui.widgets.field_form import FieldForm
from tui.widgets.keybar import KeyBar

if TYPE_CHECKING:
    from broachplan.desks.attendant.regrind_piece import Reground
    from broachplan.desks.attendant.show_piece import Shown


class RegrindScreen(PieceForm):
    """The check is shown while the heights are typed; what is kept is what was measured."""

    DEFAULT_CSS = "RegrindScreen #check { height: 2; padding: 0 1; }"

    def __init__(self, db: str | None, desks: Desks, shown: Shown, units: Units) -> None:
        super().__init__(db, desks, name="regrind")
        self.kind = shown.record.piece.kind
        self.shown = shown
        self.units = units
        self._start: dict[str, str] = {}

    def compose(self) -> ComposeResult:
        """What was measured, what the check needs, and who measured it."""
        yield Static(plain(f"REGRIND of {self.tag}, measured after it"), id="title", markup=False)
        self._start = {"condition": "fit", "by": self.shop.by}
        fields = lines_of(self.shown.record, self.units)
        yield FieldForm(
            fields, self._start, self.reason, id="piece-form", known=KNOWN, label_width=LABEL_WIDTH
        )
        yield Static(id="check", markup=False)
        yield Static(id="said", markup=False)
        yield KeyBar()

    def on_mount(self) -> None:
        """The first height."""
        self.set_focus(self.form.line("first_tooth_height"))

    @property
    def tag(self) -> str:
        """The tag of the broach."""
        return self.shown.record.piece.tag

    @property
    def typed(self) -> bool:
        """Whether anything was typed."""
        return any(
            text != self._start.get(name, "") for name, text in self.form.values().items() if name != "by"
        )

    def reason(self, line: Line, text: str, values: Mapping[str, str]) -> str:
        """Why a text will not do in a line."""
        return reason_against(line, text, values, self.shown.record)

    def save(self, *, sure: bool = False) -> None:
        """Ask the desk to record it."""
        values = self.form.values()
        self.shop.by = values["by"]
        typed = {name: text for name, text in values.items() if text}
        request = replace(asked(RegrindRequest, {**typed, "tag": self.tag}), sure=sure)
        self.send(request, then=self._is_saved)

    @on(FieldForm.TextChanged)
    def _draw_check(self) -> None:
        values = self.form.values()
        measured = {
            name: before - after
            for name, (before, after) in heights(self.shown.record, values).items()
            if before >= after
        }
        self.line("check", "; ".join(came_down_words(measured, geometry(values), self.units)))

    def _is_saved(self, _: Reground) -> None:
        self.forget()
        self.dismiss(None)
