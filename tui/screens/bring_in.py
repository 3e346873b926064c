"""Bring pieces in from files: what would change is shown first, and nothing is written before somebody agrees."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, ClassVar, Self

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Static

from broachplan.questions.files import ImportPreviewRequest, ImportRequest
from broachplan.questions.line import chosen, lines_of
from tui.bases.asking import AskingScreen, Failed
from tui.bases.piece_form import SAID_TO_A_COMMAND
from tui.desks import Desks
from tui.plain import plain
from tui.registry import screen
from tui.widgets.field_form import FieldForm
from tui.widgets.keybar import KeyBar

if TYPE_CHECKING:
    from broachplan.desks.attendant.import_crib import Imported, ImportPreview

_MOST = 12


class BringInScreen(AskingScreen[None], ModalScreen[None]):
    """Stays open until it is left, with what was added and changed, or with what is wrong in which row."""

    CSS_PATH = "../styles/modal.tcss"
    DEFAULT_CSS = "BringInScreen { align: center middle; background: $background 50%; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "look", "preview", priority=True, id="bring_in.do", tooltip="Show what the files would change; asks before anything is written"),
        Binding("escape", "leave", "back", priority=True, id="bring_in.leave", tooltip="Back to the crib"),
    ]  # fmt: skip

    @classmethod
    def over(cls, here: Any) -> Self:
        """Opened from one of the attendant's screens."""
        return cls(here.db, here.desks)

    def __init__(self, db: str | None, desks: Desks) -> None:
        super().__init__(db, desks, name="bring_in")
        self._at_work = False

    def compose(self) -> ComposeResult:
        """The file, then what came of it."""
        with Vertical(id="modal"):
            yield Static(
                Text("BRING PIECES IN   CSV files, a workbook or a folder, then F2"), id="modal-title"
            )
            fields = chosen(lines_of(ImportRequest), "paths", "by")
            yield FieldForm(fields, {"by": self.shop.by}, id="modal-form")
            yield Static(id="said", markup=False)
            yield Static(id="results", markup=False)
            yield KeyBar()

    def on_mount(self) -> None:
        """The file first."""
        self.set_focus(self.query_one(FieldForm).line("paths"))

    async def action_look(self) -> None:
        """Read the files, and show what they would change."""
        await self.keys_taken()
        values = self.query_one(FieldForm).values()
        if self._at_work or not values["paths"]:
            return
        self.shop.by = values["by"]
        self._look(ImportRequest(paths=(values["paths"],), by=values["by"]))

    def action_leave(self) -> None:
        """Back."""
        if not self._at_work:
            self.dismiss(None)

    def _look(self, asked: ImportRequest) -> None:
        self._at_work = True
        self._results([])
        self.say("reading the files ...")
        self.send(ImportPreviewRequest(asked=asked), then=lambda found: self._looked(asked, found))

    async def _looked(self, asked: ImportRequest, found: ImportPreview) -> None:
        """Rows that are wrong end it; older figures and those that jump are asked about; then the whole of it is."""
        self._at_work = False
        first, *rest = found.lines
        self.say(first)
        if found.refused:
            self.say(f"NOT DONE: {plain(found.refused[0])}", wrong=True)
            self._results([*found.refused[1:]])
        elif found.older:
            await self._ask("Take older figures?", found.older, replace(asked, older=True))
        elif found.jumps:
            await self._ask("Measured right?", found.jumps, replace(asked, sure=True))
        elif not (found.added or found.changed):
            self.say(f"Nothing to bring in: {found.unchanged} as before.")
        else:
            await self._ask("Bring it in?", [first, *rest], asked, write=True)

    async def _ask(
        self, title: str, lines: tuple[str, ...] | list[str], then: ImportRequest, *, write: bool = False
    ) -> None:
        text = Text(
            plain(
                "\n".join(lines)
                .replace("; --older takes them all the same", "")
                .replace(SAID_TO_A_COMMAND, "")
            )
        )

        def answered(answer: dict[str, str] | None) -> None:
            if answer is None:
                self.say("NOT DONE: nothing was written.", wrong=True)
            elif write:
                self._at_work = True
                self.say("saving ...")
                self.send(then, then=self._is_in)
            else:
                self._look(then)

        await self.app.push_screen(screen("confirm")(title, text, None), answered)

    def _is_in(self, imported: Imported) -> None:
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
