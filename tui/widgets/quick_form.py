"""A few short lines side by side, to be filled while somebody waits: enter goes to the next that is empty, then asks."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.message import Message
from textual.widgets import Input, Static

from broachplan.questions.line import Line
from tui.widgets.entry import EntryLine, wait_for_pending_keys


class QuickForm(Vertical):
    """Sends `QuickTyped` when something is typed, and `QuickAsked` on enter where no line is left to fill."""

    DEFAULT_CSS = """
    QuickForm { height: auto; }
    QuickForm Horizontal { height: 1; }
    QuickForm Static { width: auto; padding: 0 1 0 0; }
    QuickForm EntryLine { width: 1fr; margin: 0 2 0 0; }
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "next", "next", show=False, priority=True, id="quick.next", tooltip="The next line that is empty; behind the last the question is asked"),
    ]  # fmt: skip

    class QuickTyped(Message):
        """Something is typed."""

    class QuickAsked(Message):
        """It is to be answered."""

    def __init__(self, title: str, rows: Sequence[Sequence[Line]], *, id: str) -> None:
        super().__init__(id=id)
        self._title = title
        self._rows = rows

    def compose(self) -> ComposeResult:
        """A row of labels and lines; the title before the first, room for it before the others."""
        for place, row in enumerate(self._rows):
            with Horizontal():
                yield Static(self._title if not place else " " * len(self._title), markup=False)
                for line in row:
                    yield Static(line.label, markup=False)
                    yield EntryLine(id=line.name, placeholder=line.hint)

    @property
    def lines(self) -> tuple[Line, ...]:
        """All its lines, in their order."""
        return tuple(line for row in self._rows for line in row)

    @property
    def has_cursor(self) -> bool:
        """Whether one of its lines is being typed in."""
        return any(entry.has_focus for entry in self.query(EntryLine))

    def values(self) -> dict[str, str]:
        """The text in every line."""
        return {line.name: self._entry(line).value.strip() for line in self.lines}

    def wrong(self) -> str:
        """Why a text will not do, the one being typed in first; empty where all that is typed is valid."""
        values = self.values()
        found = {
            line.name: reason
            for line in self.lines
            if (reason := line.reason_against(values[line.name], values))
        }
        here = self.screen.focused.id if self.screen.focused else None
        return found.get(here or "", "") or next(iter(found.values()), "")

    def missing(self) -> str:
        """The first line that is needed and empty."""
        values = self.values()
        return next((line.label for line in self.lines if line.needed and not values[line.name]), "")

    def begin(self) -> None:
        """Type in the first line that is empty, else in the first."""
        empty = (self._entry(line) for line in self.lines if not self._entry(line).value.strip())
        self.screen.set_focus(next(empty, self._entry(self.lines[0])))

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """What is typed next replaces the text in the line."""
        if isinstance(event.widget, EntryLine):
            event.widget.select_all()

    def clear(self) -> None:
        """Forget what was typed."""
        for line in self.lines:
            self._entry(line).value = ""

    def _entry(self, line: Line) -> EntryLine:
        return self.query_one(f"#{line.name}", EntryLine)

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        if event.input.id:
            line = next(line for line in self.lines if line.name == event.input.id)
            event.input.set_class(bool(line.reason_against(event.value, self.values())), "-wrong")
        self.post_message(self.QuickTyped())

    async def action_next(self) -> None:
        """On to the line after this one that is empty; behind the last it is asked."""
        await wait_for_pending_keys(self.screen)
        entries = [self._entry(line) for line in self.lines]
        here = next((place for place, entry in enumerate(entries) if entry.has_focus), 0)
        after = next((entry for entry in entries[here + 1 :] if not entry.value.strip()), None)
        if after is None:
            self.post_message(self.QuickAsked())
        else:
            self.screen.set_focus(after)
