"""Write what is on the screen as a file to print: its name, the paper. A file that is there is replaced only when confirmed."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Static

from broachplan.questions.files import PrintSheetRequest
from broachplan.questions.line import chosen, lines_of
from tui.bases.asking import AskingScreen, Failed
from tui.desks import Desks
from tui.plain import plain
from tui.registry import screen
from tui.widgets.field_form import FieldForm
from tui.widgets.keybar import KeyBar

_LINES = chosen(lines_of(PrintSheetRequest), "file", "page")


class PrintScreen(AskingScreen[str], ModalScreen[str]):
    """Answers with what was written, or with nothing.

    ``request`` has a file, a page and whether the file is replaced, and what the form begins with; ``beside`` goes to its
    desk. The result has ``lines``; where nothing was written its ``code`` says so.
    """

    CSS_PATH = "../styles/modal.tcss"
    DEFAULT_CSS = "PrintScreen { align: center middle; background: $background 50%; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2,enter", "write", "write the file", priority=True, id="print.write", tooltip="Write the file"),
        Binding("escape", "leave", "back", priority=True, id="print.leave", tooltip="Back; nothing is written"),
    ]  # fmt: skip

    def __init__(self, db: str | None, desks: Desks, heading: str, request: Any, **beside: Any) -> None:
        super().__init__(db, desks, name="print")
        self._heading = heading
        self._request = request
        self._beside = beside

    def compose(self) -> ComposeResult:
        """The file, the paper."""
        with Vertical(id="modal"):
            yield Static(Text(plain(self._heading)), id="modal-title")
            start = {"file": self._request.file, "page": self._request.page}
            yield FieldForm(_LINES, start, id="modal-form")
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
            self._write(replace(self._request, overwrite=False, **form.values()))

    def action_leave(self) -> None:
        """Back."""
        self.dismiss("")

    def _write(self, request: Any) -> None:
        self._request = request
        self.say("writing ...")
        self.send(request, then=self._is_written, **self._beside)

    def _is_written(self, written: Any) -> None:
        said = "; ".join(written.lines)
        if getattr(written, "code", 0):  # there was nothing to write
            self.say(said, wrong=True)
        else:
            self.dismiss(said)

    @on(Failed)
    async def _has_failed(self, event: Failed) -> None:
        from broachplan.desks.attendant.print_labels import ThereAlreadyError

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
