"""Labels for pieces as a PDF: which pieces, on which sheet, into which file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any, ClassVar, Self

from rich.text import Text
from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.message import Message
from textual.screen import ModalScreen
from textual.widgets import Static

from broachplan.questions.files import LabelsRequest, OutlinesRequest
from broachplan.questions.line import Line
from broachplan.questions.reads import KnownRequest
from broachplan.views.labels import printed_lines
from tui.bases.asking import AskingScreen, Failed
from tui.desks import Desks
from tui.label_fields import (
    DEFAULT_FILE,
    asked_for,
    label_lines,
    reason_against,
    sheet_words,
)
from tui.plain import plain
from tui.registry import screen
from tui.status_words import about_all, offered, tags_of
from tui.widgets.entry import EntryLine
from tui.widgets.field_form import FieldForm
from tui.widgets.keybar import KeyBar

if TYPE_CHECKING:
    from broachplan.desks.attendant.list_known import Known
    from broachplan.desks.attendant.print_labels import Outlined, Printed
    from tui.bases.asking import AttendingScreen

_REPORT_EVERY = 100


class LabelsScreen(AskingScreen[None], ModalScreen[None]):
    """The form always stays as it was typed; an existing file is replaced only when confirmed."""

    CSS_PATH = "../styles/modal.tcss"
    DEFAULT_CSS = """
    LabelsScreen { align: center middle; background: $background 50%; }
    LabelsScreen #sheet-words { height: 2; padding: 0 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "write", "write the PDF", priority=True, id="labels.write", tooltip="Write the labels, or the outlines, into the file"),
        Binding("enter", "next", "next line", show=False, priority=True, id="labels.next", tooltip="To the next line of the form"),
        Binding("f1", "app.help", "help", show=False, id="labels.help", tooltip="Every key and what it does"),
        Binding("escape", "leave", "back", priority=True, id="labels.leave", tooltip="Back, when what is being written is written"),
    ]  # fmt: skip

    class Drawn(Message):
        """So many labels are drawn of so many."""

        def __init__(self, done: int, total: int) -> None:
            super().__init__()
            self.done = done
            self.total = total

    def __init__(self, db: str | None, desks: Desks, what: str) -> None:
        super().__init__(db, desks, name="labels")
        self._start = {"what": what, "start": "1", "file": DEFAULT_FILE}
        self.known: Known | None = None
        self.writing = False
        self._request: LabelsRequest | OutlinesRequest | None = None

    @classmethod
    def over(cls, here: AttendingScreen[Any]) -> Self:
        """For what is chosen where it is opened."""
        return cls(here.db, here.desks, here.at_hand)

    def compose(self) -> ComposeResult:
        """Form, what is known of the pieces and of the sheet, what was written."""
        with Vertical(id="modal"):
            yield Static(Text("LABELS   which pieces, which sheet, then F2"), id="modal-title")
            known = ("what", "home")
            yield FieldForm(label_lines(), self._start, self.reason, id="modal-form", known=known)
            yield Static(id="known", markup=False)
            yield Static(id="sheet-words", markup=False)
            yield Static(id="said", markup=False)
            yield Static(id="results", markup=False)
            yield KeyBar()

    def on_mount(self) -> None:
        """The pieces first; a scanned tag replaces the text in the line."""
        line = self.form.line("what")
        self.set_focus(line)
        assert isinstance(line, EntryLine)
        line.select_all()
        self.send(KnownRequest(), then=self._knows)

    @property
    def form(self) -> FieldForm:
        """The form."""
        return self.query_one(FieldForm)

    def reason(self, line: Line, text: str, values: Mapping[str, str]) -> str:
        """Why a text will not do in a line."""
        return reason_against(line, text, values, self.known)

    async def action_write(self) -> None:
        """Write the file, unless a line will not do."""
        await self.keys_taken()
        if self.writing:
            return
        if reasons := self.form.reasons():
            self.say(next(iter(reasons.values())), wrong=True)
            return
        values = self.form.values()
        self._begins()
        if self.known is not None:
            self._print(values, self.known)
        else:
            self.send(KnownRequest(), then=lambda known: self._print(values, known))

    async def action_next(self) -> None:
        """To the next line."""
        await self.keys_taken()
        self.form.action_move(1)

    def action_leave(self) -> None:
        """Back."""
        if not self.writing:
            self.dismiss(None)

    def _knows(self, known: Known) -> None:
        self.known = known
        self.form.know({"what": [*known.pieces, *known.sets], "home": known.homes})
        self._draw()

    @on(Drawn)
    def _drawn_so_far(self, event: Drawn) -> None:
        if self.writing:
            self.say(f"drawing labels: {event.done} of {event.total}")

    def _is_written(self, printed: Printed | Outlined) -> None:
        self.writing = False
        self.say("")
        self.line("results", "; ".join(printed_lines(printed, str(printed.file.absolute()))))

    @on(Failed)
    async def _has_failed(self, event: Failed) -> None:
        from broachplan.desks.attendant.print_labels import ThereAlreadyError

        self.writing = False
        if isinstance(event.error, ThereAlreadyError) and self._request is not None:
            await self._ask_to_replace(self._request)
        else:
            self.say(event.line, wrong=True)

    async def _ask_to_replace(self, request: LabelsRequest | OutlinesRequest) -> None:
        self.say("")
        file = plain(request.file)

        def answered(answer: dict[str, str] | None) -> None:
            if answer is None:
                self.say(f"{file} stays as it was; write another name to keep both.")
            else:
                self._begins()
                self._write(replace(request, overwrite=True))

        text = Text(f"{file} is there already. F2 replaces it, escape keeps it.")
        await self.app.push_screen(screen("confirm")("Replace the file?", text, None), answered)

    @on(FieldForm.TextChanged)
    @on(events.DescendantFocus)
    def _draw(self) -> None:
        values = self.form.values()
        if not self.writing:
            wrong = self.form.wrong()
            self.say(wrong, wrong=bool(wrong))
        tags = tags_of(values["what"], self.known)
        whole = all(not values[name] for name in ("what", "kind", "home", "text"))
        about = "every piece that is not retired" if whole else about_all(tags, self.known)
        self.query_one("#known", Static).update(Text(f"{about}\n{offered(self.form.offers())}"))
        self.line("sheet-words", sheet_words(values["grid"]))

    def _begins(self) -> None:
        self.writing = True
        self.line("results", "")
        self.say("writing ...")

    def _print(self, values: Mapping[str, str], known: Known) -> None:
        from broachplan.errors import InputError

        try:
            request = asked_for(values, known)
        except InputError as error:
            self.writing = False
            self.say(plain(error), wrong=True)
        else:
            self._write(request)

    def _write(self, request: LabelsRequest | OutlinesRequest) -> None:
        self._request = request
        beside: dict[str, Any] = {"progress": self._progress} if isinstance(request, LabelsRequest) else {}
        self.send(request, then=self._is_written, **beside)

    def _progress(self, done: int, total: int) -> None:
        if done % _REPORT_EVERY == 0:
            self.post_message(self.Drawn(done, total))
