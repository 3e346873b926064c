"""One piece: its figures and its status on the left, its history on the right."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Static

from broachplan.errors import InputError
from broachplan.lengths import Units
from broachplan.questions.acts import RetireRequest
from broachplan.questions.reads import KnownRequest, ShowRequest, TodayRequest
from broachplan.sheets.result import ResultSheet, Sentence, SheetBlock
from broachplan.sheets.table import View
from broachplan.tooling.figures import Kind
from broachplan.views.history import history_block
from broachplan.views.piece import piece_sheet
from tui.bases.asking import Failed
from tui.bases.piece_acts import PieceActs
from tui.desks import Desks
from tui.registry import screen
from tui.status_words import recognised
from tui.widgets.entry import EntryLine
from tui.widgets.keybar import KeyBar
from tui.widgets.sheet_view import SheetView

if TYPE_CHECKING:
    from broachplan.desks.attendant.retire_piece import Retired
    from broachplan.desks.attendant.show_piece import Shown

# A longer one may not find room in the title.
_LONG_STATE = 30
_NEEDS_PIECE = ("edit", "retire", "hold", "inspect", "book", "regrind")
_NEEDS_BROACH = ("book", "regrind")
# What is out is inspected and measured when it is back.
_NEEDS_IT_IN = ("inspect", "regrind")


class PieceScreen(PieceActs[None]):
    """Shows one piece; a tag that is typed or scanned here shows that piece instead."""

    CSS_PATH = "../styles/piece.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "other", "other piece", priority=True, show=False, id="piece.other", tooltip="Show the piece whose tag was typed or scanned instead"),
        Binding("f2", "edit", "edit", priority=True, id="piece.edit", tooltip="Change figures and words of this piece"),
        Binding("f4", "retire", "retire", show=False, priority=True, id="piece.retire", tooltip="Take this piece out of use for good; its history stays"),
        Binding("f5", "read", "read again", show=False, id="piece.read", tooltip="Read this piece again"),
        Binding("up", "scroll_text('record', -1)", "up", show=False, id="piece.up", tooltip="The figures, a line up"),
        Binding("down", "scroll_text('record', 1)", "down", show=False, id="piece.down", tooltip="The figures, a line down"),
        Binding("pageup", "scroll_text('history', -8)", "history up", show=False, id="piece.page_up", tooltip="The history, a few lines up"),
        Binding("pagedown", "scroll_text('history', 8)", "history down", show=False, id="piece.page_down", tooltip="The history, a few lines down"),
        Binding("escape", "leave", "back", priority=True, id="piece.leave", tooltip="Back to where you came from"),
    ]  # fmt: skip

    def __init__(self, db: str | None, desks: Desks, units: Units, tag: str) -> None:
        super().__init__(db, desks, units, name="piece")
        self.tag = tag
        self.shown: Shown | None = None
        self._on = date.min

    def compose(self) -> ComposeResult:
        """The line to type in, figures, history."""
        yield Static(id="title", markup=False)
        yield EntryLine(id="filter", placeholder="scan or type another tag")
        with Horizontal(id="piece-body"):
            with VerticalScroll(id="record-scroll", can_focus=False):
                yield SheetView(id="record")
            with VerticalScroll(id="history-scroll", can_focus=False):
                yield SheetView(id="history")
        yield Static(id="said", markup=False)
        yield KeyBar()

    @property
    def at_hand(self) -> str:
        """The tag of this piece."""
        return self.shown.record.piece.tag if self.shown is not None else ""

    @property
    def is_missing(self) -> bool:
        """Whether a count did not find it."""
        status = self.shown.status if self.shown else None
        return status is not None and status.missing_since is not None

    def read(self) -> None:
        """Ask the desk for the piece."""
        tag = self.tag
        if self.shown is None:
            self.line("title", f"{tag}   reading ...")
        self.work(lambda: self._found(tag), then=self._is_read, group="read")

    def draw(self) -> None:
        """Draw the piece."""
        if self.shown is None:
            return
        piece, view = self.shown.record.piece, View(self._on, self.units)
        sheet = piece_sheet(self.shown, view, history=False)
        self.line("title", f"{piece.tag}   a {piece.kind}   {sheet.short}")
        if len(sheet.short) > _LONG_STATE:
            sheet = sheet._replace(blocks=(SheetBlock("", (Sentence(sheet.short),)), *sheet.blocks))
        self._show(sheet, ResultSheet("", "", (history_block(self.shown.history),)))
        self.refresh_bindings()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """A piece that is retired, or is none, is not changed."""
        if action in _NEEDS_PIECE:
            return True if self._may(action) else None
        return super().check_action(action, parameters)

    def _may(self, action: str) -> bool:
        shown = self.shown
        out = shown is not None and shown.status is not None and shown.status.loan is not None
        if shown is None or shown.retired or (out and action in _NEEDS_IT_IN):
            return False
        return action not in _NEEDS_BROACH or shown.record.piece.kind is Kind.BROACH

    async def action_other(self) -> None:
        """Show the piece that is typed."""
        await self.keys_taken()
        if typed := self.top.value.strip():
            self.top.value = ""
            self.tag, self.shown = typed, None
            self.say("")
            self._show(None, None)
            self.read()

    async def action_edit(self) -> None:
        """To the form of this piece."""
        if self.shown is not None:
            await self.app.push_screen(screen("edit")(self.db, self.desks, self.shown))

    async def action_retire(self) -> None:
        """Ask once, then retire it."""
        text = Text(
            f"{self.at_hand} leaves every list and plan for good. Its history stays, and its tag is not given to another piece."
        )
        asked = screen("confirm")(f"Retire {self.at_hand}?", text, self.shop.by, note=True)
        await self.app.push_screen(asked, self._retire)

    def action_read(self) -> None:
        """Read it again."""
        self.read()

    def action_scroll_text(self, name: str, lines: int) -> None:
        """Scroll figures or history."""
        self.query_one(f"#{name}-scroll").scroll_relative(y=lines, animate=False)

    def action_leave(self) -> None:
        """Back."""
        self.dismiss(None)

    def _is_read(self, found: tuple[Shown, date]) -> None:
        self.shown, self._on = found
        self.draw()

    def _is_retired(self, retired: Retired) -> None:
        self.say(f"{retired.tag} is retired.")

    @on(Failed)
    def _has_failed(self, event: Failed) -> None:
        if self.shown is None:
            self.line("title", self.tag)
        self.say(event.line, wrong=True)

    def _show(self, record: ResultSheet | None, history: ResultSheet | None) -> None:
        self.query_one("#record", SheetView).show(record)
        self.query_one("#history", SheetView).show(history)

    def _found(self, tag: str) -> tuple[Shown, date]:
        """The piece, whose tag may be typed in letters of another case, and the day that its state is of."""
        on_day = self.desks.send(self.db, TodayRequest())
        try:
            shown = self.desks.send(self.db, ShowRequest(tag=tag, on=on_day))
        except InputError:
            meant, _ = recognised(tag, self.desks.send(self.db, KnownRequest()))
            if meant == tag:
                raise
            shown = self.desks.send(self.db, ShowRequest(tag=meant, on=on_day))
        return shown, on_day

    def _retire(self, answer: dict[str, str] | None) -> None:
        if answer is not None:
            self.shop.by = answer["by"]
            request = RetireRequest(tag=self.at_hand, note=answer["note"], by=answer["by"])
            self.send(request, then=self._is_retired)
