"""The rest of the attendant's desk, one letter each: lists, and acts on what is chosen."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar, Self

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Static

from tui.plain import plain
from tui.registry import Menu, in_menu, screen
from tui.stack import StackedScreen
from tui.widgets.keybar import KeyBar

if TYPE_CHECKING:
    from tui.bases.asking import AttendingScreen

_COLUMN = 37


class MoreScreen(ModalScreen[None], StackedScreen[None]):
    """Gives way to what is taken, at once: keys typed behind a letter find it."""

    CSS_PATH = "../styles/modal.tcss"
    DEFAULT_CSS = "MoreScreen { align: center middle; background: $background 50%; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        *(
            Binding(way.letter, f"take({name!r})", way.words, show=False, priority=True, id=f"more.{name}", tooltip=f"{way.words[:1].upper()}{way.words[1:]}")
            for name, way in (*in_menu(Menu.LISTS), *in_menu(Menu.ACTS))
        ),
        Binding("escape,f10", "take('')", "back", priority=True, id="more.leave", tooltip="Back"),
    ]  # fmt: skip

    @classmethod
    def over(cls, here: AttendingScreen[Any]) -> Self:
        """Opened from one of the attendant's screens."""
        return cls(here)

    def __init__(self, here: AttendingScreen[Any]) -> None:
        super().__init__(name="more")
        self.here = here

    def compose(self) -> ComposeResult:
        """Letters and words."""
        with Vertical(id="modal"):
            yield Static(Text("MORE   press a letter"), id="modal-title")
            yield Static(self._text(), id="modal-text")
            yield KeyBar()

    async def action_take(self, name: str) -> None:
        """On to it, or back."""
        if name:
            await self.app.switch_screen(screen(name).over(self.here))
        else:
            self.dismiss(None)

    def _text(self) -> Text:
        """Lists on the left, acts on the right, so that all of them show on a screen of 24 lines."""
        parts = [in_menu(part) for part in (Menu.LISTS, Menu.ACTS)]
        chosen = plain(self.here.at_hand) or "a piece typed or scanned"
        text = Text()
        for column, title in enumerate(("The crib", f"Acts on {chosen}")):
            text.append(f" {title}"[:_COLUMN].ljust(0 if column else _COLUMN), "bold")
        for row in range(max(map(len, parts))):
            text.append("\n")
            for part in parts:
                letter, words = (part[row][1].letter, part[row][1].words) if row < len(part) else ("", "")
                text.append(f"   {letter or ' '}", "bold").append(f"  {words}".ljust(_COLUMN - 4))
        return text
