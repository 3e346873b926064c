"""Asks before what is typed and not saved is lost. F2 saves here as in every form, and never drops anything."""

from __future__ import annotations

from typing import ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from tui.bases.leaving import LeaveAnswer
from tui.plain import plain
from tui.stack import StackedScreen
from tui.widgets.keybar import KeyBar


class LeaveScreen(ModalScreen[LeaveAnswer | None], StackedScreen[LeaveAnswer | None]):
    """Answers with nothing where the form is to stay. Enter does nothing: a scanner sends it behind every tag.

    ``saves``: it can be saved from here.
    """

    CSS_PATH = "../styles/modal.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "save", "save", priority=True, id="leave.save", tooltip="Save it, as F2 does in the form"),
        Binding("f8", "leave", "leave", priority=True, id="leave.leave", tooltip="Leave; what is not saved is dropped"),
        Binding("escape", "stay", "no, back", priority=True, id="leave.stay", tooltip="Back to what is typed"),
    ]  # fmt: skip

    def __init__(self, title: str, text: str, *, saves: bool = False) -> None:
        super().__init__(name="leave")
        self.heading, self.text, self.saves = title, text, saves

    def compose(self) -> ComposeResult:
        """The question and the keys."""
        with Vertical(id="modal"):
            yield Static(Text(plain(self.heading)), id="modal-title")
            with VerticalScroll(id="modal-body", can_focus=False):
                yield Static(Text(f"{plain(self.text)} {self._keys()}"), id="modal-text")
            yield KeyBar()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Nothing is saved where nothing can be."""
        return self.saves if action == "save" else super().check_action(action, parameters)

    def action_save(self) -> None:
        """Save it."""
        self.dismiss(LeaveAnswer.SAVE)

    def action_leave(self) -> None:
        """Drop it."""
        self.dismiss(LeaveAnswer.LEAVE)

    def action_stay(self) -> None:
        """Back to it."""
        self.dismiss(None)

    def _keys(self) -> str:
        return f"{'F2 saves it, ' if self.saves else ''}F8 leaves, escape goes back."
