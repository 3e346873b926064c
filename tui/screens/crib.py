"""The crib: every piece in a list with a filter, and the figures of the chosen one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Input, Static
from textual.worker import get_current_worker

from broachplan.lengths import Units
from broachplan.tooling.figures import Kind
from tui import safety
from tui.crib_rows import COLUMNS, Line, figures_text, lines, matching
from tui.desks import Desks, Listed
from tui.widgets.entry import Entry
from tui.widgets.keybar import KeyBar
from tui.widgets.ledger import Ledger

if TYPE_CHECKING:
    from tui.app import BroachplanApp


class CribScreen(Screen[str]):
    """Answers with the tag of a press that is to be used, else with nothing."""

    CSS_PATH = "../styles/crib.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down", "step(1)", "next", show=False, id="crib.down", tooltip="The next piece, while typing in the filter"),
        Binding("up", "step(-1)", "before", show=False, id="crib.up", tooltip="The piece before, while typing in the filter"),
        Binding("pagedown", "page(1)", "page down", show=False, id="crib.page_down", tooltip="A page of pieces down"),
        Binding("pageup", "page(-1)", "page up", show=False, id="crib.page_up", tooltip="A page of pieces up"),
        Binding("f2", "use", "use this press", id="crib.use", tooltip="Take the chosen press into the form"),
        Binding("f5", "read", "read again", id="crib.read", tooltip="Read the crib again"),
        Binding("escape", "leave", "desk", id="crib.leave", tooltip="Back to the desk"),
    ]  # fmt: skip

    class Read(Message):
        """The pieces are there, as lines of the list."""

        def __init__(self, pieces: Sequence[Listed], made: list[Line]) -> None:
            super().__init__()
            self.pieces = pieces
            self.made = made

    class Failed(Message):
        """The crib could not be read; one line says why."""

        def __init__(self, line: str) -> None:
            super().__init__()
            self.line = line

    def __init__(self, db: str | None, desks: Desks, units: Units = Units.INCH) -> None:
        super().__init__(name="crib")
        self.db = db
        self.desks = desks
        self._shop_units = units
        self._pieces: Sequence[Listed] | None = None
        self._lines: Sequence[Line] = ()
        self._shown: Sequence[Line] = ()

    def compose(self) -> ComposeResult:
        """Filter, list, figures."""
        yield Static(id="title", markup=False)
        yield Entry(
            id="filter", placeholder="filter: tag, kind, size, home, state; several words narrow it down"
        )
        with Horizontal(id="crib-body"):
            yield Ledger(*COLUMNS, id="pieces", empty="reading the crib ...")
            with VerticalScroll(id="figures-scroll", can_focus=False):
                yield Static(id="figures", markup=False)
        yield Static(Text(safety.SHORT), id="safety")
        yield KeyBar()

    def on_mount(self) -> None:
        """Read when the screen has been seen."""
        self.query_one("#filter").focus()
        self._tell("The crib")
        self.watch(self.app, "units", self._draw_anew, init=False)
        self.call_after_refresh(self.read)

    @work(thread=True, exclusive=True, exit_on_error=False, group="crib")
    def read(self, again: bool = True) -> None:
        """Ask the attendant's desk; with ``again`` False only the words are made anew, in other units."""
        worker = get_current_worker()
        told: Message
        try:
            pieces = self._pieces if self._pieces is not None and not again else self.desks.pieces(self.db)
            told = self.Read(pieces, lines(pieces, self.units))
        except Exception as error:
            told = self.Failed(self.desks.line_for(error))
        if not worker.is_cancelled:
            self.post_message(told)

    @property
    def units(self) -> Units:
        """The units shown in."""
        app: BroachplanApp = self.app  # type: ignore[assignment]
        return app.units or self._shop_units

    @property
    def chosen(self) -> Listed | None:
        """The piece chosen."""
        if not self._shown:
            return None
        return self._shown[min(self.query_one(Ledger).chosen, len(self._shown) - 1)].listed

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """A press can be taken into the form, other pieces cannot."""
        if action == "use":
            chosen = self.chosen if self.is_mounted else None
            return True if chosen is not None and chosen.record.piece.kind is Kind.PRESS else None
        return super().check_action(action, parameters)

    def action_step(self, rows: int) -> None:
        """Choose another piece."""
        self.query_one(Ledger).action_step(rows)

    def action_page(self, pages: int) -> None:
        """Choose a piece a page further."""
        self.query_one(Ledger).action_page(pages)

    def action_use(self) -> None:
        """Take the chosen press into the form."""
        if self.chosen is not None and self.chosen.record.piece.kind is Kind.PRESS:
            self.dismiss(self.chosen.record.piece.tag)

    def action_read(self) -> None:
        """Read the crib again."""
        self.read()

    def action_leave(self) -> None:
        """Back, with nothing."""
        self.dismiss("")

    @on(Read)
    def _is_read(self, event: Read) -> None:
        self._pieces, self._lines = event.pieces, event.made
        self._narrow()

    @on(Failed)
    def _has_failed(self, event: Failed) -> None:
        if self._pieces is None:
            self.query_one(Ledger).fill([], empty="The crib could not be read.")
        self._tell(f"The crib could not be read: {event.line}")

    @on(Input.Changed, "#filter")
    def _narrow(self) -> None:
        self._shown = matching(self._lines, self.query_one("#filter", Entry).value)
        empty = "No piece has all these words." if self._lines else "The crib is empty."
        ledger = self.query_one(Ledger)
        ledger.fill([line.row for line in self._shown], empty=empty if self._pieces is not None else None)
        if self._pieces is not None:
            self._tell(f"The crib   {len(self._shown)} of {len(self._lines)} pieces")
        self._draw_figures()

    @on(Ledger.Chosen)
    def _draw_figures(self) -> None:
        chosen = self.chosen
        self.query_one("#figures", Static).update(
            figures_text(chosen, self.units) if chosen is not None else Text()
        )
        self.refresh_bindings()

    @on(Ledger.Taken)
    @on(Input.Submitted, "#filter")
    def _taken(self) -> None:
        self.action_use()

    def _draw_anew(self) -> None:
        self.read(again=False)

    def _tell(self, line: str) -> None:
        self.query_one("#title", Static).update(Text(line))
