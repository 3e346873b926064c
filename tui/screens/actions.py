"""The last actions on the crib, and the last of them undone."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual import on
from textual.binding import Binding, BindingType

from broachplan.questions.acts import UndoRequest
from broachplan.views.history import ACTIONS, done_sheet, undone_words
from tui.bases.asking import Failed
from tui.bases.list_screen import ListScreen
from tui.plain import plain
from tui.registry import screen
from tui.sheet import sheet_text

if TYPE_CHECKING:
    from broachplan.desks.attendant.list_actions import Action
    from broachplan.desks.attendant.undo_last import Undone


class ActionsScreen(ListScreen):
    """Undoing shows what it would take back, asks, and takes back nothing else."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f4", "undo", "undo the last", priority=True, id="actions.undo", tooltip="Take back the last action that is not undone; asks first"),
    ]  # fmt: skip
    NAME = "actions"
    LIST = ACTIONS

    @property
    def last(self) -> Action | None:
        """What would be undone next."""
        from broachplan.desks.attendant.list_actions import next_to_undo

        return next_to_undo(tuple(self.items))

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """There must be something to undo."""
        if action == "undo":
            return True if self.last is not None else None
        return super().check_action(action, parameters)

    async def action_undo(self) -> None:
        """Show what would be undone, and ask."""
        if (last := self.last) is None:
            return
        sheet = done_sheet(last)
        said = f"This is taken back; the history keeps both:\n\n{sheet.title}\n"
        text = sheet_text(sheet, 60)
        asked = screen("confirm")("Undo the last action?", Text(plain(said)).append_text(text), self.shop.by)
        await self.app.push_screen(asked, lambda answer: self._undo(last, answer))

    def _is_undone(self, undone: tuple[Undone, ...]) -> None:
        self.say(undone_words(undone))

    @on(Failed)
    def _look_again(self, event: Failed) -> None:
        """Where something else was done meanwhile, show it."""
        if event.group == "undo":
            self.read()

    def _undo(self, last: Action, answer: dict[str, str] | None) -> None:
        if answer is not None:
            self.shop.by = by = answer["by"]
            self.send(UndoRequest(last=last.number, by=by), then=self._is_undone, group="undo")
