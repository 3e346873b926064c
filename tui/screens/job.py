"""One coming job opened: why it is ready or not, in numbers; moved, or marked as following another, from here."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from broachplan.buying.verdicts import Verdict
from broachplan.jobs.job import JobState
from broachplan.lengths import Units
from broachplan.questions.jobs import JobDrawingRequest, JobEditRequest
from broachplan.questions.read_job import texts_of
from broachplan.views.job_verdict import job_verdict_sheet
from tui.bases.asking import AskingScreen, Failed
from tui.desks import Desks
from tui.plain import plain
from tui.registry import screen
from tui.widgets.keybar import KeyBar
from tui.widgets.sheet_view import SheetView

if TYPE_CHECKING:
    from datetime import date

    from broachplan.desks.buyer.shortages import JobShortage
    from broachplan.settings import Settings


class JobScreen(AskingScreen[bool]):
    """Answers True where something was changed here."""

    CSS_PATH = "../styles/buyer.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "change", "change, move", priority=True, id="job.change", tooltip="Change or move this job; what that does to the others is shown before it is saved"),
        Binding("f3", "after", "one after the other", priority=True, id="job.after", tooltip="Mark this job as following the one that has its pieces: both are cut with them on one day"),
        Binding("f5", "drawing", "drawing", priority=True, id="job.drawing", tooltip="Write a dimensioned drawing of the bushing or the shims to make for this job"),
        Binding("escape", "leave", "back", priority=True, id="job.leave", tooltip="Back to the jobs"),
        Binding("up", "scroll_text(-1)", "up", show=False, id="job.up", tooltip="A line up"),
        Binding("down", "scroll_text(1)", "down", show=False, id="job.down", tooltip="A line down"),
        Binding("pageup", "scroll_text(-12)", "page up", show=False, id="job.page_up", tooltip="A page up"),
        Binding("pagedown,space", "scroll_text(12)", "page down", id="job.page_down", tooltip="A page down"),
    ]  # fmt: skip

    def __init__(
        self, db: str | None, desks: Desks, one: JobShortage, settings: Settings, asked_on: date
    ) -> None:
        super().__init__(db, desks, name="job")
        self.one = one
        self.settings = settings
        self.asked_on = asked_on
        self._acting = False

    def compose(self) -> ComposeResult:
        """The verdict on top, its reason below."""
        yield Static(id="title", markup=False)
        with VerticalScroll(id="job-scroll", can_focus=False):
            yield SheetView(id="sheet")
        yield Static(id="said", markup=False)
        yield KeyBar()

    def on_mount(self) -> None:
        """Drawn at once: all of it was found out before."""
        self.watch(self.app, "units", self._draw, init=False)
        self._draw()

    @property
    def units(self) -> Units:
        """The units shown in: those chosen on the screen, else the shop's."""
        return self.shop.units or self.settings.shown_in

    @property
    def follows(self) -> str:
        """The number of the job that has the pieces; empty where none has, or where this job cannot be changed."""
        judged = self.one.judged
        if judged.verdict is not Verdict.CLASH or self.one.job.state is not JobState.COMING:
            return ""
        return self.one.in_use[0].number if self.one.in_use else judged.clashes_with[0]

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Greyed where there is nothing to follow."""
        if action == "after":
            return True if self.follows and not self._acting else None
        if action == "drawing":
            return True if self.one.to_make else None
        return super().check_action(action, parameters)

    async def action_change(self) -> None:
        """To its form."""
        start = {"job": self.one.job.number, **texts_of(self.one.job)}
        await self.app.push_screen(screen("job_form")(self.db, self.desks, start), self._is_changed)

    async def action_drawing(self) -> None:
        """A drawing of what the shop makes for it."""
        number = self.one.job.number
        request = JobDrawingRequest(number=number, file=f"{number}.pdf", on=self.asked_on.isoformat())
        heading = f"DRAWING of what is made for {number}   .pdf or .svg"
        await self.app.push_screen(screen("print")(self.db, self.desks, heading, request), self._drawn_file)

    def action_after(self) -> None:
        """Mark it."""
        if self.follows and not self._acting:
            self._acting = True
            request = JobEditRequest(
                number=self.one.job.number, values={"after": self.follows}, by=self.shop.by
            )
            self.send(request, then=self._is_marked)

    def action_leave(self) -> None:
        """Back."""
        self.dismiss(False)

    def action_scroll_text(self, lines: int) -> None:
        """Scroll."""
        self.query_one("#job-scroll").scroll_relative(y=lines, animate=False)

    def _drawn_file(self, said: str | None) -> None:
        self.say(said or "")

    def _is_changed(self, done: tuple[str, ...] | None) -> None:
        if done:
            self.dismiss(True)

    def _is_marked(self, _: Any) -> None:
        self.dismiss(True)

    @on(Failed)
    def _has_failed(self, event: Failed) -> None:
        self._acting = False
        self.say(event.line, wrong=True)

    def _draw(self) -> None:
        sheet = job_verdict_sheet(self.one, self.settings, self.asked_on, self.units)
        self.line("title", plain(sheet.title))
        self.query_one(SheetView).show(sheet)
