"""A form of one-line fields, checked while they are typed."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from typing import Any, ClassVar

from rich.text import Text
from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Input, Static

from broachplan.questions.line import Line
from tui.widgets.choice import Choice
from tui.widgets.entry import EntryLine, KnownWordLine

LABEL_WIDTH = 16
Check = Callable[[Any, str, Mapping[str, str]], str]


def by_its_reader(line: Line, text: str, values: Mapping[str, str]) -> str:
    """The reason against a text in a line of a question: what its own reader says."""
    return line.reason_against(text, values)


class FieldForm(VerticalScroll, can_focus=False):
    """Sends `TextChanged` when something is typed, and `Submitted` when it is to be answered.

    ``check`` gives the reason against a text in a line, given the text of all lines; empty where it is valid.
    ``known`` names the lines whose words may be known already, see `know`; in a form with such lines, which stays open
    for the next piece, what is typed replaces what is in a line. The keys that leave a line have priority:
    keys typed behind them in one burst must find the next line.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down", "move(1)", "next line", show=False, priority=True, id="form.next", tooltip="The next line of the form"),
        Binding("up", "move(-1)", "line before", show=False, priority=True, id="form.back", tooltip="The line of the form before"),
    ]  # fmt: skip

    class TextChanged(Message):
        """What is typed has changed; ``reason`` is against the first line that will not do, else empty."""

        def __init__(self, form: FieldForm, reason: str) -> None:
            super().__init__()
            self.form = form
            self.reason = reason

        @property
        def control(self) -> FieldForm:
            """The form that changed."""
            return self.form

    class Submitted(Message):
        """Enter was pressed in the form."""

    def __init__(
        self,
        fields: Sequence[Line],
        start: Mapping[str, str],
        check: Check = by_its_reader,
        *,
        id: str,
        known: Collection[str] = (),
        label_width: int = LABEL_WIDTH,
    ) -> None:
        super().__init__(id=id)
        self.fields = fields
        self.label_width = label_width
        self._known = known
        self._start = start
        self._check = check
        self._last = fields[0].name
        self._labels: Text | None = None

    def compose(self) -> ComposeResult:
        """Labels in one column, lines to type in beside them."""
        yield Static(id="labels", markup=False)
        with Vertical(id="lines"):
            for field in self.fields:
                value = self._start.get(field.name, "")
                if field.choices:
                    choice = Choice(field.choices, id=field.name)
                    choice.value = value
                    yield choice
                else:
                    made = KnownWordLine if field.name in self._known else EntryLine
                    yield made(id=field.name, placeholder=field.hint, value=value, replaced=bool(self._known))

    def on_mount(self) -> None:
        """Mark what is missing from the start."""
        self.set_class(self.label_width > LABEL_WIDTH, "-long-labels")
        self.announce()

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """Show which line is being typed in, also without colour."""
        self._last = event.widget.id or self._last
        self._draw_labels()
        event.widget.scroll_visible(animate=False)

    def on_descendant_blur(self) -> None:
        """No line is being typed in."""
        self._draw_labels()

    def focus_last(self) -> None:
        """Put the cursor back where it was last."""
        self.screen.set_focus(self.line(self._last))

    def line(self, name: str) -> Widget:
        """The line of that name."""
        return self.query_one(f"#{name}")

    def value(self, name: str) -> str:
        """The text in a line."""
        line = self.line(name)
        return line.value.strip() if isinstance(line, EntryLine | Choice) else ""

    def values(self) -> dict[str, str]:
        """The text in every line."""
        return {field.name: self.value(field.name) for field in self.fields}

    def fill(self, values: Mapping[str, str]) -> None:
        """Put other words into some of the lines."""
        for name, value in values.items():
            line = self.line(name)
            if isinstance(line, EntryLine | Choice):
                line.value = value

    def know(self, words: Mapping[str, Sequence[str]]) -> None:
        """What may be typed because it is known already, by the names of the lines; others are passed by."""
        for line in self.query(KnownWordLine):
            line.known = words.get(line.id or "", line.known)

    def offers(self) -> list[str]:
        """Known words that complete the line with the cursor."""
        line = self.screen.focused
        return line.offers if isinstance(line, KnownWordLine) and line in self.query(KnownWordLine) else []

    def reasons(self) -> dict[str, str]:
        """The reason against each line that will not do."""
        values = self.values()
        found = ((field.name, self._reason(field, values)) for field in self.fields)
        return {name: reason for name, reason in found if reason}

    def wrong(self) -> str:
        """The reason against a line with text, the one being typed in first; empty where all are valid."""
        found = {name: reason for name, reason in self.reasons().items() if self.value(name)}
        here = self.screen.focused.id if self.screen.focused else None
        return found.get(here or "", "") or next(iter(found.values()), "")

    def announce(self) -> None:
        """Check every line, mark the labels, and send `TextChanged`."""
        reasons = self.reasons()
        for field in self.fields:
            missing = field.needed and not self.value(field.name)
            self.line(field.name).set_class(field.name in reasons and not missing, "-wrong")
        self._draw_labels()
        focused = self.screen.focused.id if self.screen.focused else None
        reason = reasons.get(focused or "", "") or next(iter(reasons.values()), "")
        self.post_message(self.TextChanged(self, reason))

    def action_move(self, step: int) -> None:
        """Go to another line of the forms in sight, not beyond the ends."""
        forms = [form for form in self.screen.query(FieldForm) if form.display]
        lines = [form.line(field.name) for form in forms for field in form.fields]
        here = next((place for place, line in enumerate(lines) if line is self.screen.focused), 0)
        self.screen.set_focus(lines[max(0, min(here + step, len(lines) - 1))])

    @on(Input.Changed)
    @on(Choice.WordChanged)
    def _typed(self, event: Message) -> None:
        event.stop()
        if self.is_mounted:
            self.announce()

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        self.post_message(self.Submitted())

    def _reason(self, field: Line, values: Mapping[str, str]) -> str:
        text = values[field.name]
        if not text:
            return f"{field.label}: needed" if field.needed else ""
        return self._check(field, text, values)

    def _draw_labels(self) -> None:
        reasons = self.reasons()
        text = Text(no_wrap=True)
        for field in self.fields:
            line = self.line(field.name)
            mark = "▸" if line.has_focus else " "
            wrong = field.name in reasons and bool(self.value(field.name))
            flag = "!" if wrong else "*" if field.name in reasons else " "
            style = "bold reverse" if wrong else "bold" if line.has_focus else ""
            text.append(f"{mark}{flag}{field.label}".ljust(self.label_width), style)
            text.append("\n")
        text.rstrip()
        if text != self._labels:
            # As many lines as before, so that a key typed never changes the layout.
            self.query_one("#labels", Static).update(text, layout=self._labels is None)
            self._labels = text
