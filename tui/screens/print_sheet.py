"""Write what is on the screen as a PDF: into which file, on which paper. A file that is there is replaced only when confirmed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Static

from broachplan.questions.files import PrintSheetRequest
from broachplan.questions.line import asked, chosen, lines_of
from broachplan.sheets.result import ResultSheet
from tui.bases.asking import AskingScreen, Failed
from tui.desks import Desks
from tui.plain import plain
from tui.registry import screen
from tui.widgets.field_form import FieldForm
from tui.widgets.keybar import KeyBar

if TYPE_CHECKING:
    from broachplan.desks.buyer.print_sheet import PrintedSheet

_LINES = chosen(lines_of(PrintSheetRequest), "file", "page")


class PrintSheetScreen(AskingScreen[str], ModalScreen[str]):
    """Answers with what was written, or with nothing."""

    CSS_PATH = "../styles/modal.tcss"
    DEFAULT_CSS = "PrintSheetScreen { align: center middle; background: $background 50%; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "write", "write the PDF", priority=True, id="print.write", tooltip="Write the PDF"),
        Binding("enter", "write", "write", show=False, priority=True, id="print.enter", tooltip="The same"),
        Binding("escape", "leave", "back", priority=True, id="print.leave", tooltip="Back; nothing is written"),
    ]  # fmt: skip

    def __init__(self, db: str | None, desks: Desks, sheet: ResultSheet, file: str) -> None:
        super().__init__(db, desks, name="print_sheet")
        self._sheet = sheet
        self._file = file

    def compose(self) -> ComposeResult:
        """The file, the paper."""
        with Vertical(id="modal"):
            yield Static(Text("PRINT   a PDF of this page, then F2"), id="modal-title")
            yield FieldForm(_LINES, {"file": self._file, "page": "letter"}, id="modal-form")
            yield Static(id="said", markup=False)
            yield KeyBar()

    def on_mount(self) -> None:
        """The file first."""
        self.set_focus(self.query_one(FieldForm).line("file"))

    async def action_write(self) -> None:
        """Write it, unless a line will not do."""
        await self.keys_taken()
        form = self.query_one(FieldForm)
        if reasons := form.reasons():
            self.say(next(iter(reasons.values())), wrong=True)
        else:
            self._write(asked(PrintSheetRequest, form.values()))

    def action_leave(self) -> None:
        """Back."""
        self.dismiss("")

    def _write(self, request: PrintSheetRequest) -> None:
        self._request = request
        self.say("writing ...")
        self.send(request, then=self._is_written, sheet=self._sheet)

    def _is_written(self, printed: PrintedSheet) -> None:
        self.dismiss("; ".join(printed.lines))

    @on(Failed)
    async def _has_failed(self, event: Failed) -> None:
        from broachplan.desks.buyer.print_sheet import ThereAlreadyError

        if not isinstance(event.error, ThereAlreadyError):
            self.say(event.line, wrong=True)
            return
        self.say("")
        file = plain(self._request.file)

        def answered(answer: dict[str, str] | None) -> None:
            if answer is None:
                self.say(f"{file} stays as it was; write another name to keep both.")
            else:
                self._write(replace(self._request, overwrite=True))

        text = Text(f"{file} is there already. F2 replaces it, escape keeps it.")
        await self.app.push_screen(screen("confirm")("Replace the file?", text, None), answered)
