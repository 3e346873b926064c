"""The last actions on the crib, and the last of them undone."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual import on
from textual.binding import Binding, BindingType
from textual.message import Message

from broachplan.lengths import Units
from broachplan.questions.acts import UndoRequest
from tui.bases.asking import Failed
from tui.bases.list_screen import ListScreen
from tui.desks import Desks
from tui.lists import ACTION_COLUMNS, action_row
from tui.piece_text import done_text, undone_words
from tui.registry import screen
from tui.widgets.ledger import Row

if TYPE_CHECKING:
    from broachplan.desks.attendant.list_actions import Done
    from broachplan.desks.attendant.undo_last import Undone


class ActionsScreen(ListScreen["Done"]):
    """Undoing shows what it would take back, asks, and takes back nothing else."""

    CSS_PATH = "../styles/list.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f4", "undo", "undo the last", priority=True, id="actions.undo", tooltip="Take back the last action that is not undone; asks first"),
    ]  # fmt: skip
    NOTHING = "Nothing was done since the history began."
    HEADING = "HISTORY"
    ASKS = "scan or type a tag, a name, what was done, or a day"
    COLUMNS = ACTION_COLUMNS

    class Read(Message):
        """The actions are there; ``last`` would be undone next."""

        def __init__(self, actions: Sequence[Done], last: Done | None) -> None:
            super().__init__()
            self.actions = actions
            self.last = last

    def __init__(self, db: str | None, desks: Desks, units: Units) -> None:
        super().__init__(db, desks, units, name="actions")
        self.last: Done | None = None

    def read(self) -> None:
        """Ask the desk for the last actions."""
        self.ask(self._read)

    def row(self, item: Done) -> Row:
        """One action."""
        return action_row(item)

    def headline(self) -> str:
        """How far back the list goes."""
        return f"HISTORY   the last {len(self.items or ())} actions, the latest first"

    async def open(self, item: Done) -> None:
        """Tell one action in full."""
        from tui.bases.pane import Pane

        await self.app.push_screen(Pane("One action", done_text(item), name="action"))

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """There must be something to undo."""
        if action == "undo":
            return True if self.last is not None else None
        return super().check_action(action, parameters)

    async def action_undo(self) -> None:
        """Show what would be undone, and ask."""
        if (last := self.last) is None:
            return
        text = Text("This is taken back; the history keeps both:\n\n").append_text(done_text(last))
        asked = screen("confirm")("Undo the last action?", text, self.shop.by)
        await self.app.push_screen(asked, lambda answer: self._undo(last, answer))

    @on(Read)
    def _is_read(self, event: Read) -> None:
        self.last = event.last
        self.fill(event.actions)

    def _is_undone(self, undone: tuple[Undone, ...]) -> None:
        self.say(undone_words(undone))

    @on(Failed)
    def _look_again(self, event: Failed) -> None:
        """Where something else was done meanwhile, show it."""
        if event.group == "undo":
            self.read()

    def _read(self) -> Message:
        from broachplan.desks.attendant.list_actions import next_to_undo

        actions = self.attendant.actions(self.db)
        return self.Read(actions, next_to_undo(actions))

    def _undo(self, last: Done, answer: dict[str, str] | None) -> None:
        if answer is not None:
            self.shop.by = by = answer["by"]
            self.send(UndoRequest(last=last.number, by=by), then=self._is_undone, group="undo")
