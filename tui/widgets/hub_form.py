"""The form for the hub: seventeen lines, checked while they are typed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Input, Static

from tui.desks import Asked
from tui.fields import FIELDS, Field
from tui.widgets.choice import Choice
from tui.widgets.entry import Entry

if TYPE_CHECKING:
    from broachplan.planner.question import Question

_LABEL_WIDTH = 16


class HubForm(VerticalScroll, can_focus=False):
    """Tells by `Changed` what stands in it, and by `Submitted` that it is to be planned."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "down", "move(1)", "next line", show=False, id="form.next", tooltip="The next line of the form"
        ),
        Binding(
            "up", "move(-1)", "line before", show=False, id="form.back", tooltip="The line of the form before"
        ),
    ]

    class Changed(Message):
        """What is typed has changed: ``asked`` where every line will do, else the reason against the first."""

        def __init__(self, form: HubForm, asked: Asked | None, reason: str) -> None:
            super().__init__()
            self.form = form
            self.asked = asked
            self.reason = reason

        @property
        def control(self) -> HubForm:
            """The form that changed."""
            return self.form

    class Submitted(Message):
        """Enter was pressed in the form."""

    def __init__(self, question: Question | None = None, *, id: str) -> None:
        super().__init__(id=id)
        self._start = question
        self._last = FIELDS[0].name

    def compose(self) -> ComposeResult:
        """Labels in one column, lines to type in beside them."""
        yield Static(id="labels", markup=False)
        with Vertical(id="lines"):
            for field in FIELDS:
                value = self._first_value(field)
                if field.choices:
                    choice = Choice(field.choices, id=field.name)
                    choice.value = value
                    yield choice
                else:
                    yield Entry(id=field.name, placeholder=field.hint, value=value)

    def on_mount(self) -> None:
        """Mark what is missing from the start."""
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
        self.query_one(f"#{self._last}").focus()

    def value(self, name: str) -> str:
        """What stands in a line."""
        line = self.query_one(f"#{name}")
        return line.value.strip() if isinstance(line, Entry | Choice) else ""

    def reasons(self) -> dict[str, str]:
        """The reason against each line that will not do."""
        found = ((field.name, self._reason(field)) for field in FIELDS)
        return {name: reason for name, reason in found if reason}

    def asked(self) -> Asked:
        """The question as it stands."""
        from broachplan.planner.question import Question

        values = {field.name: self.value(field.name) for field in FIELDS}
        press, day = values.pop("press"), values.pop("on")
        full = values.pop("no_top_clearance") == ""
        return Asked(Question(**values, no_top_clearance=not full), press, day)

    def announce(self) -> None:
        """Check every line, mark the labels, and tell."""
        reasons = self.reasons()
        for field in FIELDS:
            missing = field.needed and not self.value(field.name)
            self.query_one(f"#{field.name}").set_class(field.name in reasons and not missing, "-wrong")
        self._draw_labels()
        focused = self.screen.focused.id if self.screen.focused else None
        reason = reasons.get(focused or "", "") or next(iter(reasons.values()), "")
        self.post_message(self.Changed(self, None if reasons else self.asked(), reason))

    def action_move(self, step: int) -> None:
        """Go to another line, not beyond the ends."""
        lines = list(self._lines())
        here = next((place for place, line in enumerate(lines) if line.has_focus), 0)
        lines[max(0, min(here + step, len(lines) - 1))].focus()

    @on(Input.Changed)
    @on(Choice.Changed)
    def _typed(self, event: Message) -> None:
        event.stop()
        if self.is_mounted:
            self.announce()

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        self.post_message(self.Submitted())

    def _reason(self, field: Field) -> str:
        text = self.value(field.name)
        if not text:
            return f"{field.label}: still to be typed" if field.needed else ""
        from tui.field_checks import reason_against

        return reason_against(field, text)

    def _first_value(self, field: Field) -> str:
        if self._start is None:
            return ""
        value = getattr(self._start, field.name, "")
        if field.name == "no_top_clearance":
            return "no" if value else ""
        return str(value)

    def _lines(self) -> Iterator[Widget]:
        return (self.query_one(f"#{field.name}") for field in FIELDS)

    def _draw_labels(self) -> None:
        reasons = self.reasons()
        text = Text(no_wrap=True)
        for field in FIELDS:
            line = self.query_one(f"#{field.name}")
            mark = "▸" if line.has_focus else " "
            wrong = field.name in reasons and bool(self.value(field.name))
            flag = "!" if wrong else "*" if field.name in reasons else " "
            style = "bold reverse" if wrong else "bold" if line.has_focus else ""
            text.append(f"{mark}{flag}{field.label}".ljust(_LABEL_WIDTH), style)
            text.append("\n")
        text.rstrip()
        self.query_one("#labels", Static).update(text)
