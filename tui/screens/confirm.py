"""Asks once before something that is not meant to happen by chance."""

from __future__ import annotations

from typing import ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from broachplan.questions.line import Line as Field
from tui.hand_fields import BY, NOTE
from tui.plain import plain
from tui.stack import StackedScreen
from tui.widgets.field_form import FieldForm
from tui.widgets.keybar import KeyBar


class ConfirmScreen(ModalScreen[dict[str, str] | None], StackedScreen[dict[str, str] | None]):
    """Answers with what is typed (``note``, ``by``) when it is to be done, with nothing when not.

    Enter does nothing here: a scanner sends it behind every tag.
    """

    CSS_PATH = "../styles/modal.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "do", "do it", priority=True, id="confirm.do", tooltip="Do what is asked about"),
        Binding("escape", "leave", "no, back", priority=True, id="confirm.leave", tooltip="Leave it as it is"),
    ]  # fmt: skip

    def __init__(self, title: str, text: Text, by: str | None, *, note: bool = False) -> None:
        super().__init__(name="confirm")
        self.heading = title
        self.text = text
        self._by = by
        self._fields: tuple[Field, ...] = (*((NOTE,) if note else ()), *((BY,) if by is not None else ()))

    def compose(self) -> ComposeResult:
        """The question, what is typed with it, the keys."""
        with Vertical(id="modal"):
            yield Static(Text(plain(self.heading)), id="modal-title")
            with VerticalScroll(id="modal-body", can_focus=False):
                yield Static(self.text, id="modal-text")
            if self._fields:
                yield FieldForm(self._fields, {"by": self._by or ""}, id="modal-form")
            yield KeyBar()

    def on_mount(self) -> None:
        """Type on at once."""
        if self._fields:
            self.set_focus(self.query_one(FieldForm).line(self._fields[0].name))

    async def action_do(self) -> None:
        """Yes."""
        await self.keys_taken()
        if not self._fields:
            self.dismiss({})
            return
        form = self.query_one(FieldForm)
        if not form.reasons():
            self.dismiss(form.values())

    def action_leave(self) -> None:
        """No."""
        self.dismiss(None)
