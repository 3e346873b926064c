"""A line to type in that takes no hidden characters, and one that completes known words."""

from __future__ import annotations

import asyncio
from collections.abc import Mapping, Sequence
from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.widget import Widget
from textual.widgets import Input

from tui.plain import plain

# Keys that change or move in the line. A binding is looked up by the app first, so that letters typed right behind
# such a key would overtake it.
_AT_ONCE: Mapping[str, str] = {
    "backspace": "delete_left",
    "delete": "delete_right",
    "left": "cursor_left",
    "right": "cursor_right",
    "home": "home",
    "end": "end",
    "ctrl+u": "delete_left_all",
    "ctrl+w": "delete_left_word",
    "ctrl+k": "delete_right_all",
}
_MOST_OFFERS = 4


class EntryLine(Input):
    """An input one row high that takes keys in the order in which they were typed, however quickly.

    What a paste smuggles in is shown as a question mark and so refused. With ``replaced`` what is typed takes the place
    of what is in the line when a key comes to it; a key that moves in the line first keeps it.
    """

    def __init__(self, *, id: str, placeholder: str = "", value: str = "", replaced: bool = False) -> None:
        super().__init__(
            value=plain(value), placeholder=placeholder, id=id, compact=True, select_on_focus=replaced
        )

    def validate_value(self, value: str) -> str:
        """The value without characters that a terminal would obey."""
        return plain(value)

    async def on_key(self, event: events.Key) -> None:
        """Change the line at once."""
        if event.key in _AT_ONCE:
            event.stop()
            event.prevent_default()
            await self.run_action(_AT_ONCE[event.key])


class KnownWordLine(EntryLine):
    """A line that completes known words: right at its end takes the first that matches, then the next."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("right", "cursor_right", "complete", show=False, id="known.take", tooltip="At the end of what is typed: the known tag, set or name that matches; again, the next"),
    ]  # fmt: skip

    def __init__(self, *, id: str, placeholder: str = "", value: str = "", replaced: bool = False) -> None:
        super().__init__(id=id, placeholder=placeholder, value=value, replaced=replaced)
        self.known: Sequence[str] = ()
        self._begun = ""
        self._taken = ""

    @property
    def offers(self) -> list[str]:
        """A few known words that begin with the text, else those that contain it."""
        typed = self.value.strip().casefold()
        return [] if not typed else _matching(self.known, typed)[:_MOST_OFFERS]

    def action_cursor_right(self, select: bool = False) -> None:
        """Complete at the end of what is typed, else move on."""
        if select or self.cursor_position < len(self.value) or not self._complete():
            super().action_cursor_right(select)

    def _complete(self) -> bool:
        again = bool(self._taken) and self.value == self._taken
        begun = self._begun if again else self.value.strip().casefold()
        found = _matching(self.known, begun) if begun else []
        if not found:
            return False
        place = (found.index(self._taken) + 1) % len(found) if again and self._taken in found else 0
        self._begun, self._taken = begun, found[place]
        self.value = found[place]
        self.cursor_position = len(self.value)
        return True


def _matching(known: Sequence[str], begun: str) -> list[str]:
    folded = [(word, word.casefold()) for word in known]
    found = [word for word, its in folded if its.startswith(begun) and its != begun]
    return found or [word for word, its in folded if begun in its and its != begun]


async def wait_for_pending_keys(place: Widget) -> None:
    """Wait until a line, or all lines of a screen, have taken every key typed before: a scanner's come very fast.

    Awaited in an action of a key that has priority, it holds the keys behind that one back as well. A line that goes
    meanwhile is not waited for; no clock decides, for on a busy machine what is typed would then be acted on in part.
    """
    for line in [place] if isinstance(place, EntryLine) else list(place.query(EntryLine)):
        taken = asyncio.Event()
        if line.call_later(taken.set):
            waiting = asyncio.ensure_future(taken.wait())
            await asyncio.wait((waiting, line.task), return_when=asyncio.FIRST_COMPLETED)
            waiting.cancel()
