"""Bring a list of jobs in from a file: all rows or none."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar, Self

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Static

from broachplan.questions.jobs import JobImportRequest
from broachplan.questions.line import lines_of
from tui.bases.asking import AskingScreen, Failed
from tui.desks import Desks
from tui.plain import plain
from tui.widgets.field_form import FieldForm
from tui.widgets.keybar import KeyBar

if TYPE_CHECKING:
    from broachplan.desks.buyer.import_jobs import ImportedJobs

_MOST = 12


class JobImportScreen(AskingScreen[None], ModalScreen[None]):
    """Stays open until it is left, with what was added and changed, or with what is wrong in which row."""

    CSS_PATH = "../styles/modal.tcss"
    DEFAULT_CSS = "JobImportScreen { align: center middle; background: $background 50%; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "bring_in", "bring it in", priority=True, id="job_import.do", tooltip="Bring the jobs of the file in; all rows or, where one is wrong, none"),
        Binding("escape", "leave", "back", priority=True, id="job_import.leave", tooltip="Back to the list of jobs"),
    ]  # fmt: skip

    @classmethod
    def over(cls, here: Any) -> Self:
        """Opened from the list of jobs."""
        return cls(here.db, here.desks)

    def __init__(self, db: str | None, desks: Desks) -> None:
        super().__init__(db, desks, name="job_import")
        self._at_work = False

    def compose(self) -> ComposeResult:
        """The file, then what came of it."""
        with Vertical(id="modal"):
            yield Static(Text("BRING JOBS IN   a CSV file or a workbook, then F2"), id="modal-title")
            yield FieldForm(lines_of(JobImportRequest), {"by": self.shop.by}, id="modal-form")
            yield Static(id="said", markup=False)
            yield Static(id="results", markup=False)
            yield KeyBar()

    def on_mount(self) -> None:
        """The file first."""
        self.set_focus(self.query_one(FieldForm).line("paths"))

    async def action_bring_in(self) -> None:
        """Read the file."""
        await self.keys_taken()
        values = self.query_one(FieldForm).values()
        if self._at_work or not values["paths"]:
            return
        self._at_work, self.shop.by = True, values["by"]
        self.line("results", "")
        self.say("reading the file ...")
        self.send(JobImportRequest(paths=(values["paths"],), by=values["by"]), then=self._is_in)

    def action_leave(self) -> None:
        """Back."""
        if not self._at_work:
            self.dismiss(None)

    def _is_in(self, imported: ImportedJobs) -> None:
        self._at_work = False
        first, *rest = imported.lines
        self.say(f"DONE: {first}")
        self._results(rest)

    @on(Failed)
    def _has_failed(self, event: Failed) -> None:
        self._at_work = False
        first, *rest = getattr(event.error, "lines", None) or (event.line,)
        self.say(f"NOT DONE: {plain(first)}", wrong=True)
        self._results(rest)

    def _results(self, lines: list[str]) -> None:
        more = [f"and {len(lines) - _MOST} more"] if len(lines) > _MOST else []
        text = "\n".join(plain(line) for line in (*lines[:_MOST], *more))
        self.query_one("#results", Static).update(Text(text))
