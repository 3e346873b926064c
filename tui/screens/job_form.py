"""A new job, or a coming job changed: what it does to the other jobs is shown before it is confirmed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Static

from broachplan.questions.jobs import LINES, JobAddRequest, JobEditRequest
from broachplan.questions.line import Line, lines_of
from broachplan.questions.what_if import WhatIfRequest
from broachplan.views.job_difference import difference_sheet
from tui.bases.asking import Failed
from tui.bases.judging import JudgingScreen
from tui.bases.leaving import LeaveAnswer
from tui.desks import Desks
from tui.plain import plain
from tui.registry import screen
from tui.sheet import sheet_text
from tui.widgets.field_form import FieldForm
from tui.widgets.keybar import KeyBar

if TYPE_CHECKING:
    from broachplan.desks.buyer.what_if import JobDifference

_NEW = tuple(line for line in lines_of(JobAddRequest) if line.name != "by")
_SHEET = 60


class JobFormScreen(JudgingScreen[tuple[str, ...] | None]):
    """Answers with what was done, or with nothing. A refusal leaves every line as it was typed.

    ``start`` are the texts that the form begins with; with a ``number`` they are those of that job, and what is
    different from them is what changes.
    """

    CSS_PATH = "../styles/buyer.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "save", "save", priority=True, id="job_form.save", tooltip="Show what the job does to the other jobs, then save it"),
        Binding("enter", "next", "next line", priority=True, show=False, id="job_form.next", tooltip="To the next line of the form"),
        Binding("escape", "leave", "back", priority=True, id="job_form.leave", tooltip="Back without saving; asks where something was typed"),
    ]  # fmt: skip

    def __init__(self, db: str | None, desks: Desks, start: Mapping[str, str]) -> None:
        super().__init__(db, desks, name="job_form")
        self._start = {name: text for name, text in start.items() if name != "job"}
        # The number of the job that is changed; empty for a new one.
        self.number = start.get("job", "")
        self._saving = False

    def compose(self) -> ComposeResult:
        """The lines of a job, its number first where it is new."""
        title = f"CHANGE JOB {self.number}" if self.number else "A NEW JOB"
        yield Static(Text(plain(title)), id="title")
        yield FieldForm(self._lines, self._start, id="job-lines")
        yield Static(id="said", markup=False)
        yield KeyBar()

    def on_mount(self) -> None:
        """Type on at once, in the first line that is still empty."""
        empty = (line.name for line in self._lines if line.needed and not self._start.get(line.name))
        self.set_focus(self.form.line(next(empty, self._lines[0].name)))

    @property
    def form(self) -> FieldForm:
        """The form."""
        return self.query_one(FieldForm)

    @property
    def typed(self) -> dict[str, str]:
        """What is different from what the form began with."""
        return {name: text for name, text in self.form.values().items() if text != self._start.get(name, "")}

    async def action_save(self) -> None:
        """Ask what it would do, unless a line will not do."""
        await self.keys_taken()
        if self._saving:
            return
        if reason := next(iter(self.form.reasons().values()), ""):
            self.say(reason, wrong=True)
            return
        if self.number and not self.typed:
            self.say("Nothing is different yet.")
            return
        self._saving = True
        self.judge(self._asked(), self._would, "what it does to the other jobs")

    async def action_next(self) -> None:
        """To the next line."""
        await self.keys_taken()
        self.form.action_move(1)

    async def action_leave(self) -> None:
        """Back; what was typed is not dropped without a question."""
        await self.keys_taken()
        if not self.typed:
            self.dismiss(None)
            return
        asked = screen("leave")("Leave without saving?", f"{self.unsaved} is not saved.", saves=True)
        await self.app.push_screen(asked, self._left)

    @property
    def unsaved(self) -> str:
        """What would be lost on leaving the program."""
        return f"The form of {f'job {self.number}' if self.number else 'a new job'}" if self.typed else ""

    @property
    def _lines(self) -> tuple[Line, ...]:
        return LINES if self.number else _NEW

    @property
    def _texts(self) -> dict[str, str]:
        """The texts that go to the desk: of a new job all that is given, of a change what is different."""
        if self.number:
            return self.typed
        return {name: text for name, text in self.form.values().items() if text and name != "number"}

    @property
    def _named(self) -> str:
        return self.number or self.form.value("number")

    def _asked(self) -> WhatIfRequest:
        return WhatIfRequest(number=self._named, values=self._texts, new=not self.number)

    async def _would(self, found: JobDifference) -> None:
        sheet = difference_sheet(found)
        text = Text(f"{sheet.title}\n\n")
        text.append_text(sheet_text(sheet, _SHEET))
        title = f"Change job {self.number}?" if self.number else f"Add job {self._named}?"
        asked = screen("confirm")(plain(title), text, self.shop.by)
        await self.app.push_screen(asked, self._confirmed)

    def _confirmed(self, answer: dict[str, str] | None) -> None:
        if answer is None:
            self._saving = False
            return
        self.shop.by = answer["by"]
        kind = JobEditRequest if self.number else JobAddRequest
        self.say("saving ...")
        self.send(kind(number=self._named, values=self._texts, by=self.shop.by), then=self._saved)

    def _saved(self, done: Any) -> None:
        self.dismiss(done.lines)

    async def _left(self, answer: LeaveAnswer | None) -> None:
        if answer is LeaveAnswer.SAVE:
            await self.action_save()
        elif answer:
            self.dismiss(None)

    @on(Failed)
    def _has_failed(self, event: Failed) -> None:
        self._saving = False
        self.say(f"NOT SAVED: {event.line}", wrong=True)

    @on(FieldForm.TextChanged)
    def _changed(self) -> None:
        if not self._saving:
            wrong = self.form.wrong()
            self.say(wrong, wrong=bool(wrong))
