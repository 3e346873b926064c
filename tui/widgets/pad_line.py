"""A line for a number pad: digits and Enter, taken in the order in which they come."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.message import Message

from tui.press.typed import PadKey
from tui.widgets.entry import EntryLine


class PadLine(EntryLine):
    """Empties itself at Enter and announces what was in it; an empty line announces nothing."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "enter", "done", key_display="Enter", id="pad.enter", tooltip="Do what is typed; on an empty line nothing happens"),
    ]  # fmt: skip

    class Entered(Message):
        """Enter was pressed behind ``text``."""

        def __init__(self, text: str) -> None:
            super().__init__()
            self.text = text

    async def on_key(self, event: events.Key) -> None:
        """Take Enter at once: a binding is looked up after the keys behind it, which would then be in the line too."""
        if event.key == "enter":
            event.stop()
            event.prevent_default()
            self.action_enter()
        else:
            await super().on_key(event)

    def action_enter(self) -> None:
        """Announce what is typed."""
        text = self.value.strip()
        # A key alone stays: its list is being read, and a digit is still to come.
        if text and text not in tuple(PadKey):
            self.value = ""
            self.post_message(self.Entered(text))
