"""The attendant's lists: one screen, made for each from its description."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, timedelta
from functools import cache
from types import new_class
from typing import TYPE_CHECKING, Any, ClassVar, cast

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Input, Static

from broachplan.lengths import Units
from broachplan.questions.reads import DraftsRequest
from broachplan.sheets.listing import Ask, Confirm, ListOf, Next, Open, lines_of_list
from broachplan.sheets.result import ResultSheet
from broachplan.sheets.table import Row, View, columns_of, having, rows_of
from tui.bases.asking import AttendingScreen, Failed
from tui.bases.pane import Pane
from tui.bases.piece_acts import PieceActs
from tui.bases.row_keys import RowKeys
from tui.desks import Desks
from tui.plain import plain
from tui.registry import screen
from tui.sheet import sheet_text
from tui.widgets.entry import EntryLine
from tui.widgets.keybar import KeyBar
from tui.widgets.ledger import Ledger

if TYPE_CHECKING:
    from broachplan.crib.drafts import Draft

# What an act asks of the desk is one group; the sheet in a question has so many columns.
_ACT, _ROOM = "act", 60
# What may become a day while it is typed is not looked for in the rows.
_DAY_BEGUN = re.compile(r"\d{4}-[\d-]*", re.ASCII)


class ListScreen(RowKeys[None], AttendingScreen[None]):
    """The list that ``LIST`` describes: a line that narrows it, the chosen row opened by enter, its own forms by keys."""

    CSS_PATH = "../styles/list.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "open", "open", priority=True, id="list.open", tooltip="Open what is chosen"),
        Binding("f5", "read", "read again", show=False, id="list.read", tooltip="Read the list again"),
        Binding("escape", "leave", "back", priority=True, id="list.leave", tooltip="Back to the list of pieces"),
    ]  # fmt: skip
    NAME: ClassVar[str]
    LIST: ClassVar[ListOf[Any, Any]]

    def __init__(self, db: str | None, desks: Desks, units: Units) -> None:
        super().__init__(db, desks, units, name=self.NAME)
        self.result: Any = None
        self._shown: Sequence[tuple[Row, Any]] = ()

    def compose(self) -> ComposeResult:
        """The line to type in, the list; below it the parts of the chosen item, or a text about it."""
        yield Static(self.LIST.heading, id="title", markup=False)
        yield EntryLine(id="filter", placeholder=self.LIST.hint)
        yield Ledger(*columns_of(self.LIST.fields), id="rows", empty="reading ...")
        if self.LIST.part is not None:
            yield Static(id="part-name", markup=False)
            yield Ledger(*columns_of(self.LIST.part.fields), id="part", empty="")
        if self.LIST.about is not None:
            yield Static(id="about", markup=False)
        yield Static(id="said", markup=False)
        yield KeyBar()

    @property
    def items(self) -> Sequence[Any]:
        """All that the list has."""
        return () if self.result is None else lines_of_list(self.LIST, self.result)

    @property
    def view(self) -> View:
        """The day and the units that the list is read by."""
        begun = {drawer: len(tags) for drawer, tags in self.shop.drafts.counts.items()}
        return self.LIST.view(self.result)._replace(units=self.units, begun=begun)

    @property
    def chosen(self) -> Any:
        """What is chosen; None where nothing is."""
        return self._shown[min(self._rows.chosen, len(self._shown) - 1)][1] if self._shown else None

    @property
    def piece_at_hand(self) -> str:
        """The tag of the chosen piece."""
        if self.chosen is None:
            return ""
        if self.LIST.part is None:
            return self.LIST.tag(self.chosen)
        return self._part.rows[self._part.chosen][0] if self._in_part else ""

    @property
    def at_hand(self) -> str:
        """The tag of the chosen piece, else the name of the chosen set."""
        return self.piece_at_hand or (self.LIST.tag(self.chosen) if self.chosen is not None else "")

    def read(self) -> None:
        """Ask the desk; at first also what was begun at this station before the program was."""
        begun = (DraftsRequest(),) if self.LIST.drafts and not self.shop.drafts.read else ()
        self.send(self.LIST.request(), *begun, then=self.is_read, group="read")

    def is_read(self, result: Any, begun: Sequence[Draft] | None = None) -> None:
        """Draw what was read."""
        self.result = result
        if begun is not None and not self.shop.drafts.read:
            self.shop.drafts.take(begun)
        if (notes := self.LIST.notes(result)) or self.LIST.days:
            self.say(" ".join(notes))
        self.draw()

    def rows(self) -> Sequence[Row]:
        """A row for each item."""
        return rows_of(self.LIST.fields, self.items, self.view)

    def draw(self) -> None:
        """Draw the rows that have what is typed."""
        if self.result is None:
            return
        keep = self._shown[self._rows.chosen][0] if self._shown else None
        self._shown = having(zip(self.rows(), self.items, strict=True), self.top.value)
        shown = [row for row, _ in self._shown]
        empty = "Nothing here has all these words." if self.items else self.LIST.nothing
        self._rows.fill(shown, chosen=shown.index(keep) if keep in shown else 0, empty=empty)
        self.line("title", f"{self.LIST.heading}   {self.LIST.total(self.result)}")
        self.draw_chosen()

    def draw_chosen(self) -> None:
        """Draw what belongs to the chosen row."""
        chosen, part, about = self.chosen, self.LIST.part, self.LIST.about
        if part is not None:
            self.line("part-name", part.title(chosen) if chosen is not None else "")
            rows = rows_of(part.fields, part.items(chosen), self.view) if chosen is not None else []
            self._part.fill(rows, chosen=self._part.chosen)
        if about is not None:
            said = about(chosen, self.view) if chosen is not None else ""
            self.line("about", f"{self.at_hand}: {said}" if said else "")
        self.refresh_bindings()

    async def open(self, item: Any) -> None:
        """Open what is chosen: what it holds, what the list opens of it, or the piece."""
        if self.LIST.part is not None and not self._in_part:
            self.set_focus(self._part)
        elif self.LIST.opens is not None and (step := self.LIST.opens(item)) is not None:
            await self.follow(step)
        elif tag := self.piece_at_hand:
            await self.open_piece(tag)

    async def follow(self, step: Next) -> None:
        """Show what an act of the list comes to, or ask and open what is next."""
        match step:
            case str():
                self.say(step)
            case ResultSheet():
                title = f"{step.title[:1].upper()}{step.title[1:]}"
                await self.app.push_screen(Pane(title, step, name=f"{self.NAME}_one"))
            case Ask():
                self.send(step.request, then=lambda result: self.follow(step.then(result)), group=_ACT)
            case Open(given=None):
                await self.action_go(step.screen)
            case Open():
                self.say("")
                opened = screen(step.screen)(self.db, self.desks, step.given)
                await self.app.push_screen(opened, lambda answer: self._answered(step, answer))
            case Confirm():
                text = Text(plain(f"{step.said}  {step.sheet.title}") + "\n\n")
                text.append_text(sheet_text(step.sheet, _ROOM))
                asked = screen("confirm")(step.title, text, self.shop.by)
                await self.app.push_screen(asked, lambda answer: self._confirmed(step, answer))

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """An act is greyed where there is nothing to do."""
        if action == "act" and (does := self.LIST.acts[cast("int", parameters[0])].does) is not None:
            there = self.is_mounted and self.result is not None
            return True if there and does(self.result, self.chosen) is not None else None
        return super().check_action(action, parameters)

    async def action_open(self) -> None:
        """Open the item that is typed whole, else the chosen row; else what is typed, on most lists the tag of a piece."""
        await self.keys_taken()
        self.draw()
        typed = self.top.value.strip()
        meant = (each for each in self.items if typed and self.LIST.names(each, typed))
        if (item := next(meant, self.chosen)) is not None:
            await self.open(item)
        elif typed and self.LIST.typed is not None:
            await self.follow(self.LIST.typed(typed))
        elif typed:
            await self.open_piece(typed)

    async def action_act(self, place: int) -> None:
        """Do an act of the list, or open its form with the chosen item in it: of the rows that have all that is typed."""
        await self.keys_taken()
        self.draw()
        act = self.LIST.acts[place]
        if act.does is not None:
            await self.follow(act.does(self.result, self.chosen))
            return
        tag = self.piece_at_hand if act.tag else ""
        form = screen(act.name)(self.db, self.desks, tag, self.shop.by, **act.begins(self.chosen))
        await self.app.push_screen(form)

    def action_read(self) -> None:
        """Read again."""
        self.read()

    def action_leave(self) -> None:
        """Back; from the parts of an item to the items."""
        if self._in_part:
            self.set_focus(self.top)
        else:
            self.dismiss(None)

    @property
    def _rows(self) -> Ledger:
        return self.query_one("#rows", Ledger)

    @property
    def _part(self) -> Ledger:
        return self.query_one("#part", Ledger)

    @property
    def _in_part(self) -> bool:
        return self.LIST.part is not None and self._part.has_focus and bool(self._part.rows)

    @on(Input.Changed, "#filter")
    def _typed(self) -> None:
        self.draw()

    @on(Ledger.Chosen, "#rows")
    def _other_row(self) -> None:
        self.draw_chosen()

    @on(Failed)
    def _has_failed(self, event: Failed) -> None:
        self.say(event.line, wrong=True)
        if event.group == _ACT:  # something else was done meanwhile: show it
            self.read()

    async def _answered(self, step: Open, answer: object) -> None:
        self.draw()
        if answer is not None:
            self.top.value = ""
        await self.follow(step.then(answer))

    async def _confirmed(self, step: Confirm, answer: dict[str, str] | None) -> None:
        if answer is not None:
            self.shop.by = answer["by"]
            await self.follow(step.then(self.shop.by))


class DaysScreen(ListScreen):
    """A list of a past day: a day that is typed shows it as it was then; other words narrow it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "on_day(-1)", "a day back", priority=True, id="list.day_back", tooltip="The list a day earlier"),
        Binding("f3", "on_day(1)", "a day on", priority=True, id="list.day_on", tooltip="The list a day later"),
    ]  # fmt: skip
    _day: date | None = None

    def read(self) -> None:
        """Ask the desk for the list of the day."""
        on_day = str(self._day) if self._day else ""
        self.send(self.LIST.request(on=on_day), then=self.is_read, group="read")

    async def action_open(self) -> None:
        """Another day where one is typed; else the chosen piece."""
        from broachplan.crib.words import read_day
        from broachplan.errors import InputError

        await self.keys_taken()
        typed = self.top.value.strip()
        if not _DAY_BEGUN.fullmatch(typed):
            await super().action_open()
            return
        try:
            self._to(read_day(typed, "day"))
        except InputError as error:
            self.say(str(error), wrong=True)

    def action_on_day(self, days: int) -> None:
        """The day before, or after."""
        if self.result is None:
            return
        try:
            self._to(self.view.on + timedelta(days=days))
        except OverflowError:
            self.say(f"{self.view.on} is as far as the calendar goes.", wrong=True)

    @on(Input.Changed, "#filter")
    def _typed_day(self, event: Input.Changed) -> None:
        """In place of the list's own way: a day is not looked for in the rows."""
        event.prevent_default()
        if not _DAY_BEGUN.fullmatch(event.value.strip()):
            self.draw()

    def is_read(self, result: Any, begun: Sequence[Draft] | None = None) -> None:
        """Stay with the day, also when it was today."""
        self._day = self.LIST.view(result).on
        if _DAY_BEGUN.fullmatch(self.top.value.strip()):
            self.top.value = ""
        super().is_read(result, begun)

    def _to(self, on_day: date | None) -> None:
        self._day = on_day
        self.say("")
        self.read()


class WithPieceActs(PieceActs[None], ListScreen):
    """A list whose chosen piece may be held, inspected, booked and reground by the keys that do it anywhere."""


@cache
def list_screen(name: str, listed: ListOf[Any, Any]) -> type[ListScreen]:
    """The screen of a list."""
    base = DaysScreen if listed.days else WithPieceActs if listed.piece_acts else ListScreen
    forms = [
        Binding(act.key, f"act({place})", act.words, priority=True, id=f"{name}.{act.name}", tooltip=act.help)
        for place, act in enumerate(listed.acts)
    ]
    if listed.enter is not None:
        words, tip = listed.enter
        forms.insert(0, Binding("enter", "open", words, priority=True, id=f"{name}.open", tooltip=tip))
    body = {"NAME": name, "LIST": listed, "BINDINGS": forms, "__module__": __name__}
    return new_class(f"{name.title()}List", (base,), exec_body=lambda made: made.update(body))
