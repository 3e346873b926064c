"""The buyer's desk: what cannot be cut yet and the first way out, when to begin, what clashes, what is on its way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any, ClassVar, Self

from rich.text import Text
from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Static

from broachplan.lengths import Units
from broachplan.questions.files import PrintSheetRequest
from broachplan.questions.shortages import ShortagesRequest
from broachplan.sheets.result import Column
from broachplan.sheets.table import View, columns_of, rows_of
from broachplan.views.day_words import short_day, whole_day
from broachplan.views.shortages import CANNOT, NOT_YET, heading_of, parts_of, shortages_sheet
from tui.bases.asking import Failed
from tui.bases.can_we import CanWeScreen
from tui.bases.pane import Pane
from tui.desks import Desks
from tui.plain import fitted, plain
from tui.registry import screen
from tui.stack import is_open
from tui.widgets.keybar import KeyBar
from tui.widgets.ledger import Ledger
from tui.words import crib_words

if TYPE_CHECKING:
    from broachplan.desks.buyer.shortages import JobShortage, Shortages

# So many rows have a number; lines of a part that a low screen shows.
_NUMBERED, _LINES = 8, 2
_OLD = "OLD: the crib has changed. F5 looks again"


class BuyerScreen(CanWeScreen[None]):
    """Draws only what was asked for here: a change elsewhere marks the page as old."""

    CSS_PATH = "../styles/buyer.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        *(
            Binding(str(row), f"open_row({row})", "open", key_display=f"1-{_NUMBERED}", show=row == 1, priority=True, id=f"buyer.row_{row}", tooltip=f"Open the job with the number {row} before it")
            for row in range(1, _NUMBERED + 1)
        ),
        Binding("b,B", "buy", "what to buy", key_display="B", priority=True, id="buyer.buy", tooltip="What to buy: the cheapest basket from your lists of offers"),
        Binding("p,P", "print", "print", key_display="P", priority=True, id="buyer.print", tooltip="Write this page as a PDF to print, with the reason of every job"),
        Binding("f4", "whole", "all of it", show=False, priority=True, id="buyer.whole", tooltip="The whole page as a text: the reason of every job, and the jobs that can be cut"),
        Binding("f5", "read", "look again", show=False, priority=True, id="buyer.read", tooltip="Judge the jobs again, against the crib as it is now"),
        Binding("f6", "jobs", "jobs", priority=True, id="buyer.jobs", tooltip="The list of jobs: add, change, start, finish, drop, import"),
        Binding("f8", "crib", "crib", priority=True, id="buyer.crib", tooltip="The attendant's desk: the pieces in the crib"),
        Binding("escape", "leave", "back", show=False, priority=True, id="buyer.leave", tooltip="Back to where the buyer's desk was opened"),
    ]  # fmt: skip

    def __init__(self, db: str | None, desks: Desks) -> None:
        super().__init__(db, desks, name="buyer")
        self.found: Shortages | None = None

    @classmethod
    def over(cls, here: Any) -> Self:
        """Opened from another desk."""
        return cls(here.db, here.desks)

    def compose(self) -> ComposeResult:
        """The jobs that cannot be cut, and what belongs to them, in the order in which a buyer works."""
        yield Static(id="title", markup=False)
        yield Static(id="head", markup=False)
        yield Ledger(Column(""), *columns_of(NOT_YET), id="jobs", empty="judging the jobs ...")
        yield Static(id="more", markup=False)
        yield Static(id="parts", markup=False)
        yield from self.question()
        yield Static(id="said", markup=False)
        yield KeyBar()

    def on_mount(self) -> None:
        """Judge when the screen has been seen."""
        self.query_one(Ledger).focus()
        self.line("title", f"BUYING   {crib_words(self.db, self.shop.shop_words.crib)}")
        self.line("head", CANNOT.upper())
        self.watch(self.app, "units", self._other_units, init=False)
        self.call_after_refresh(self.action_read)

    @property
    def units(self) -> Units:
        """The units shown in: those chosen on the screen, else the shop's."""
        shop = self.found.settings.shown_in if self.found is not None else Units.INCH
        return self.shop.units or shop

    @property
    def waiting(self) -> Sequence[JobShortage]:
        """The jobs of the rows."""
        return self.found.not_ready if self.found is not None else ()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Greyed where there is nothing to open."""
        if action == "open_row":
            if self.typing:
                return False
            row = parameters[0]
            return True if isinstance(row, int) and row <= len(self.waiting) else None
        if action in ("print", "buy") and self.typing:
            return False
        if action in ("whole", "print"):
            return True if self.found is not None else None
        return super().check_action(action, parameters)

    def action_read(self) -> None:
        """Judge the jobs."""
        self.judge_page(ShortagesRequest(), self._is_read, "judging the jobs")
        self.draw_old()

    async def action_open_row(self, row: int) -> None:
        """Open the job of a numbered row."""
        if row <= len(self.waiting):
            self.query_one(Ledger).chosen = row - 1
            await self._open(self.waiting[row - 1])

    async def action_whole(self) -> None:
        """The whole page as a text."""
        if self.found is not None:
            sheet = shortages_sheet(self.found)
            await self.app.push_screen(Pane(sheet.title, sheet, name="buyer_whole"))

    async def action_buy(self) -> None:
        """To what to buy."""
        await self.app.push_screen(screen("basket")(self.db, self.desks))

    async def action_print(self) -> None:
        """The whole page as a PDF."""
        if self.found is not None:
            request = PrintSheetRequest(file=f"buying-{self.found.on}.pdf")
            sheet = shortages_sheet(self.found)
            opened = screen("print")(self.db, self.desks, "PRINT   a PDF of this page", request, sheet=sheet)
            await self.app.push_screen(opened, self._printed)

    async def action_jobs(self) -> None:
        """To the list of jobs."""
        await self.app.push_screen(screen("jobs")(self.db, self.desks, self.units))

    async def action_crib(self) -> None:
        """To the attendant's desk."""
        await self.app.push_screen(screen("crib")(self.db, self.desks, self.units))

    def action_leave(self) -> None:
        """Back: from the line of the question to the jobs, from there to where the desk was opened."""
        if self.typing:
            self.query_one(Ledger).focus()
        else:
            self.dismiss(None)

    def _is_read(self, found: Shortages) -> None:
        kept = self._chosen.job.number if self._chosen is not None else ""
        self.found = found
        self._draw(kept)
        self.refresh_bindings()

    @property
    def _chosen(self) -> JobShortage | None:
        place = self.query_one(Ledger).chosen
        return self.waiting[place] if place < len(self.waiting) else None

    def _printed(self, said: str | None) -> None:
        self.say(said or "")

    async def _open(self, one: JobShortage) -> None:
        assert self.found is not None
        opened = screen("job")(self.db, self.desks, one, self.found.settings, self.found.on)
        await self.app.push_screen(opened, self._back_from_job)

    def _back_from_job(self, changed: bool | None) -> None:
        if changed:  # behind what says so to all screens, so that the page is not old again at once
            self.shop.call_later(self._read_again)

    def _read_again(self) -> None:
        if is_open(self):
            self.action_read()

    @on(Ledger.Taken, "#jobs")
    async def _taken(self) -> None:
        if self._chosen is not None:
            await self._open(self._chosen)

    @on(Ledger.InSight, "#jobs")
    def _draw_more(self) -> None:
        """How many jobs are below those in sight, and from when on."""
        below, words = self.waiting[self.query_one(Ledger).below :], ""
        if below and self.found is not None:
            words = f"{len(below)} more, from {short_day(below[0].job.due, self.found.on)} (down arrow)"
        self.line("more", words)

    @on(events.Resize)
    def _resized(self) -> None:
        self._draw_parts()

    @on(Failed)
    def _has_failed(self, event: Failed) -> None:
        self.say(event.line, wrong=True)
        if self.found is None:
            self.query_one(Ledger).fill([], empty="The jobs could not be judged.")

    def _draw(self, keep: str = "") -> None:
        found = self.found
        if found is None:
            return
        numbers = [one.job.number for one in self.waiting]
        ledger = self.query_one(Ledger)
        chosen = numbers.index(keep) if keep in numbers else min(ledger.chosen, max(len(numbers) - 1, 0))
        rows = rows_of(NOT_YET, self.waiting, View(found.on, self.units))
        marks = (str(row) if row <= _NUMBERED else "" for row in range(1, len(rows) + 1))
        empty = "Every job can be cut." if found.jobs else "No job is to come. F6 is the list of jobs."
        ledger.fill([(mark, *row) for mark, row in zip(marks, rows, strict=True)], chosen=chosen, empty=empty)
        self.line("title", f"BUYING   {whole_day(found.on)}   {heading_of(found)}")
        self.draw_old()
        self._draw_parts()

    def _other_units(self) -> None:
        self._draw()
        self.draw_answer()

    def is_added(self) -> None:
        """Back to the jobs, judged with the one that is added."""
        self.query_one(Ledger).focus()
        self.shop.call_later(self._read_again)

    def draw_old(self) -> None:
        """A mark beside the heading."""
        old = self.found is not None and self.old
        self.set_class(old, "-stale")
        mark = f"   {_OLD}" if old else ""
        self.line("head", f"{CANNOT.upper()}{mark}")

    def _draw_parts(self) -> None:
        if self.found is not None:
            self.query_one("#parts", Static).update(Text("\n").join(self._parts(self.found)))

    def _parts(self, found: Shortages) -> Iterator[Text]:
        """Each part with its first lines, one line of the screen each; F4 shows all."""
        width = max(self.size.width - 2, 20)
        most = _LINES if self.has_class("-low") else 4 * _LINES
        for part in parts_of(found):
            heading = part.heading.upper()
            lines = [plain(line) for line in part.lines[:most]] or ["nothing"]
            if (left := len(part.lines) - most) > 0:
                lines[-1] = f"{left + 1} more: F4"
            head, rest = Text(heading, "bold"), lines
            if len(heading) + 2 + len(lines[0]) <= width:
                head.append(f"  {lines[0]}", "not bold")
                rest = lines[1:]
            yield head
            for line in rest:
                yield Text(fitted(f"  {line}", width))
