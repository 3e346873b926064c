"""One of a few words, in one line."""

from __future__ import annotations

from typing import ClassVar

from rich.text import Text
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget


class Choice(Widget, can_focus=True):
    """Shows the word chosen; left, right and space go through the others."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "right,space", "turn(1)", "next word", show=False, id="choice.next", tooltip="The next choice"
        ),
        Binding("left", "turn(-1)", "word before", show=False, id="choice.back", tooltip="The choice before"),
    ]
    place: reactive[int] = reactive(0)

    class WordChanged(Message):
        """Another word is chosen."""

        def __init__(self, choice: Choice) -> None:
            super().__init__()
            self.choice = choice

        @property
        def control(self) -> Choice:
            """The choice that changed."""
            return self.choice

    def __init__(self, choices: tuple[tuple[str, str], ...], *, id: str) -> None:
        super().__init__(id=id)
        self._choices = choices

    @property
    def value(self) -> str:
        """The value behind the word; empty for the usual."""
        return str(self._choices[self.place][0])

    @value.setter
    def value(self, value: str) -> None:
        values = [str(known) for known, _ in self._choices]
        self.place = values.index(value) if value in values else 0

    def action_turn(self, step: int) -> None:
        """Move to another word."""
        self.place = (self.place + step) % len(self._choices)

    def on_click(self) -> None:
        """The next word."""
        self.action_turn(1)

    def watch_place(self) -> None:
        """Tell."""
        self.post_message(self.WordChanged(self))

    def render(self) -> Text:
        """The word between its arrows."""
        return Text(f"‹ {self._choices[self.place][1]} ›", no_wrap=True, overflow="ellipsis")
