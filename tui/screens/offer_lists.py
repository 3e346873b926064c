"""Which lists of offers to buy from, within which budget; kept at this station."""

from __future__ import annotations

from typing import ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Static

from broachplan.buying.offer_choice import OfferChoice
from broachplan.questions.offer_choice import CHOICE_LINES, as_choice, as_values
from tui.stack import StackedScreen
from tui.widgets.field_form import FieldForm
from tui.widgets.keybar import KeyBar


class OfferListsScreen(ModalScreen[OfferChoice | None], StackedScreen[OfferChoice | None]):
    """Answers with the choice, or with nothing."""

    CSS_PATH = "../styles/modal.tcss"
    DEFAULT_CSS = "OfferListsScreen { align: center middle; background: $background 50%; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "take", "buy from these", priority=True, id="offers.take", tooltip="Look for the cheapest basket from these lists"),
        Binding("enter", "next", "next line", show=False, priority=True, id="offers.next", tooltip="To the next line"),
        Binding("escape", "leave", "back", priority=True, id="offers.leave", tooltip="Back; the lists stay as they were"),
    ]  # fmt: skip

    def __init__(self, choice: OfferChoice) -> None:
        super().__init__(name="offer_lists")
        self._choice = choice

    def compose(self) -> ComposeResult:
        """A line for each list, and what may be spent."""
        with Vertical(id="modal"):
            yield Static(Text("LISTS OF OFFERS   where each is, then F2"), id="modal-title")
            yield FieldForm(CHOICE_LINES, as_values(self._choice), id="modal-form")
            yield Static(id="said", markup=False)
            yield KeyBar()

    def on_mount(self) -> None:
        """The first list."""
        self.set_focus(self.query_one(FieldForm).line("list_1"))

    async def action_take(self) -> None:
        """Take them, unless a line will not do."""
        await self.keys_taken()
        form = self.query_one(FieldForm)
        if reasons := form.reasons():
            self.query_one("#said", Static).update(Text(next(iter(reasons.values()))))
            return
        self.dismiss(as_choice(form.values(), self._choice.without))

    async def action_next(self) -> None:
        """To the next line."""
        await self.keys_taken()
        self.query_one(FieldForm).action_move(1)

    def action_leave(self) -> None:
        """Back."""
        self.dismiss(None)
