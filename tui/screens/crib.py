"""The attendant's desk: every piece in a list with its state, and a line that takes what is typed or scanned."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar, NamedTuple

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Input, Static

from broachplan.crib.status_words import OVERDUE
from broachplan.errors import InputError
from broachplan.lengths import Units
from broachplan.questions.reads import KnownRequest, ListRequest, SettingsRequest
from broachplan.settings import Settings
from broachplan.shown import numbered
from broachplan.tooling.figures import Kind
from broachplan.views.pieces import FOUND, PIECES
from tui.bases.asking import AttendingScreen, Failed
from tui.bases.row_keys import RowKeys
from tui.crib_rows import (
    COLUMNS,
    CribLine,
    ListedPiece,
    asked_for,
    figures_sheet,
    lines,
    matching,
    summary,
    with_states,
    with_tag,
)
from tui.desks import Desks
from tui.registry import screen
from tui.widgets.entry import EntryLine
from tui.widgets.keybar import KeyBar
from tui.widgets.ledger import Ledger
from tui.widgets.sheet_view import SheetView
from tui.words import crib_words


class Read(NamedTuple):
    """The pieces, as lines of the list."""

    pieces: Sequence[ListedPiece]
    made: list[CribLine]
    settings: Settings


class CribScreen(RowKeys[str], AttendingScreen[str]):
    """Answers with the tag of a press that is to be used, else with nothing."""

    CSS_PATH = "../styles/crib.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "open", "open", priority=True, show=False, id="crib.open", tooltip="Open the piece whose tag is typed or scanned, else the chosen one"),
        Binding("f2", "use", "use press", priority=True, id="crib.use", tooltip="Take the chosen press into the machinist's form"),
        Binding("f3", "out", "out", priority=True, id="crib.out", tooltip="What is out: with whom, since when, what is overdue"),
        Binding("f4", "sets", "sets", priority=True, id="crib.sets", tooltip="The sets: complete, or what each lacks"),
        Binding("f5", "read", "read again", show=False, id="crib.read", tooltip="Read the crib again"),
        Binding("f6", "add", "add", show=False, priority=True, id="crib.add", tooltip="Take a new piece into the crib"),
        Binding("f8", "actions", "history", priority=True, id="crib.actions", tooltip="The last actions on the crib; the last of them undone"),
        Binding("escape", "leave", "desk", priority=True, id="crib.leave", tooltip="Back to the machinist's desk"),
    ]  # fmt: skip

    def __init__(self, db: str | None, desks: Desks, units: Units = Units.INCH) -> None:
        super().__init__(db, desks, units, name="crib")
        self._pieces: Sequence[ListedPiece] | None = None
        self._lines: Sequence[CribLine] = ()
        self._shown: Sequence[CribLine] = ()
        self._settings = Settings()

    def compose(self) -> ComposeResult:
        """The line to type in, the list, the chosen piece's figures where there is room for them."""
        yield Static(id="title", markup=False)
        yield EntryLine(id="filter", placeholder=PIECES.hint)
        with Horizontal(id="crib-body"):
            yield Ledger(*COLUMNS, id="pieces", empty="reading the crib ...")
            with VerticalScroll(id="figures-scroll", can_focus=False):
                yield SheetView(id="figures")
        yield Static(id="summary", markup=False)
        yield KeyBar()

    def on_mount(self) -> None:
        """A title at once; the base reads."""
        self.line("title", f"ATTENDANT'S DESK   {crib_words(self.db, self.shop.shop_words.crib)}")

    @property
    def chosen(self) -> ListedPiece | None:
        """The piece chosen."""
        return line.listed if (line := self._chosen_line) is not None else None

    @property
    def at_hand(self) -> str:
        """The tag of the chosen piece."""
        return self.chosen.record.piece.tag if self.chosen is not None else ""

    @property
    def kind(self) -> Kind:
        """The kind of the chosen piece, with which a new one begins."""
        return self.chosen.record.piece.kind if self.chosen is not None else Kind.BROACH

    def read(self) -> None:
        """Ask the desk for every piece."""
        self.work(self._read, then=self._is_read, group="read")

    def draw(self) -> None:
        """Make the words again, in other units."""
        if (pieces := self._pieces) is not None:
            settings = self._settings
            self.work(
                lambda: Read(pieces, lines(pieces, self.units), settings), then=self._is_drawn, group="draw"
            )

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """A press can be taken into the form, other pieces cannot."""
        if action == "use":
            chosen = self.chosen if self.is_mounted else None
            return True if chosen is not None and chosen.record.piece.kind is Kind.PRESS else None
        return super().check_action(action, parameters)

    async def action_open(self) -> None:
        """Open the piece that is meant; a scanner types its tag and then enter."""
        await self.keys_taken()
        self._narrow()
        typed = self.top.value.strip()
        if (exact := with_tag(self._lines, typed)) is not None:
            self.top.value = ""
            await self.open_piece(exact)
        elif self.chosen is not None:
            await self.open_piece(self.chosen.record.piece.tag)
        elif typed:
            await self.open_piece(typed)

    def action_use(self) -> None:
        """Take the chosen press into the form."""
        if self.chosen is not None and self.chosen.record.piece.kind is Kind.PRESS:
            self.dismiss(self.chosen.record.piece.tag)

    async def action_out(self) -> None:
        """To what is out."""
        await self.app.push_screen(screen("out")(self.db, self.desks, self.units))

    async def action_sets(self) -> None:
        """To the sets."""
        await self.app.push_screen(screen("sets")(self.db, self.desks, self.units))

    async def action_add(self) -> None:
        """To the form of a new piece, of the chosen one's kind to begin with."""
        await self.app.push_screen(screen("add")(self.db, self.desks, self.kind))

    async def action_actions(self) -> None:
        """To the last actions."""
        await self.app.push_screen(screen("actions")(self.db, self.desks, self.units))

    def action_read(self) -> None:
        """Read the crib again."""
        self.read()

    def action_leave(self) -> None:
        """Back, with nothing."""
        self.dismiss("")

    def _is_drawn(self, read: Read) -> None:
        if self._pieces is read.pieces:  # else others were read meanwhile
            self._is_read(read)

    def _is_read(self, read: Read) -> None:
        tag = self.at_hand
        self._pieces, self._lines, self._settings = read
        self._narrow(tag)

    @on(Failed)
    def _has_failed(self, event: Failed) -> None:
        if self._pieces is None:
            self.query_one("#pieces", Ledger).fill([], empty="The crib could not be read.")
        self.line("title", f"The crib could not be read: {event.line}")

    @on(Input.Changed, "#filter")
    def _typed(self) -> None:
        self._narrow()

    @on(Ledger.Chosen)
    def _draw_chosen(self) -> None:
        line, units = self._chosen_line, self.units
        asked = asked_for(self.top.value)
        sheet = figures_sheet(line.listed, units) if line is not None else None
        self.query_one("#figures", SheetView).show(sheet)
        self.line("summary", asked or (summary(line, units) if line is not None else ""))
        self.refresh_bindings()

    def _read(self) -> Read:
        requests = (ListRequest(), KnownRequest(), SettingsRequest())
        listed, known, settings = (self.desks.send(self.db, each) for each in requests)
        pieces = with_states(listed.records, known)
        return Read(pieces, lines(pieces, self.units), settings)

    @property
    def _chosen_line(self) -> CribLine | None:
        if not self._shown:
            return None
        return self._shown[min(self.query_one(Ledger).chosen, len(self._shown) - 1)]

    def _found(self) -> tuple[Sequence[CribLine], str]:
        """The lines that meet what is typed, and what is said where none does."""
        if not self._lines:
            return (), PIECES.nothing
        try:
            found = matching(self._lines, self.top.value, self._settings)
        except InputError as error:
            return (), str(error)
        return found, f"{FOUND.nothing} A size is found with its unit: 30 mm, fits 30 mm, cuts 3/8 in."

    def _narrow(self, keep: str = "") -> None:
        """Show what has all the words typed; the piece of the tag ``keep`` stays the chosen one if it is among them."""
        if self._pieces is None:
            return
        self._shown, empty = self._found()
        places = (place for place, line in enumerate(self._shown) if line.row[0] == keep)
        ledger = self.query_one("#pieces", Ledger)
        ledger.fill([line.row for line in self._shown], chosen=next(places, 0) if keep else 0, empty=empty)
        out = sum(line.listed.out for line in self._lines)
        late = sum(line.listed.late for line in self._lines)
        out_words = f"{out} out{f', {late} {OVERDUE}' if late else ''}"
        counted = f"{len(self._shown)} of {numbered(len(self._lines), 'piece')}"
        self.line(
            "title",
            f"ATTENDANT'S DESK   {crib_words(self.db, self.shop.shop_words.crib)}   {counted}, {out_words}",
        )
        self._draw_chosen()
