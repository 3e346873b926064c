"""What to buy: the cheapest basket from this station's lists of offers; an offer is taken out once its effect was shown."""

from __future__ import annotations

from dataclasses import replace
from pathlib import PurePath
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from broachplan.buying.offer_choice import OfferChoice
from broachplan.lengths import Units
from broachplan.questions.files import PrintSheetRequest
from broachplan.questions.offer_choice import KeepOfferChoiceRequest, OfferChoiceRequest
from broachplan.questions.shortages import ShortagesRequest
from broachplan.sheets.result import ResultSheet
from broachplan.sheets.table import View, columns_of, rows_of
from broachplan.views.basket import (
    BUY,
    LINES,
    basket_blocks,
    basket_sheet,
    difference_of_baskets,
    heading_of_basket,
    line_sheet,
)
from tui.bases.asking import Failed
from tui.bases.judging import PageScreen
from tui.bases.pane import Pane
from tui.desks import Desks
from tui.plain import plain
from tui.registry import screen
from tui.sheet import sheet_text
from tui.widgets.keybar import KeyBar
from tui.widgets.ledger import Ledger
from tui.widgets.sheet_view import SheetView

if TYPE_CHECKING:
    from broachplan.buying.basket.result import Basket, BasketLine
    from broachplan.desks.buyer.shortages import Shortages

_SHEET = 66
_NO_LISTS = "No list of offers is chosen. F2 chooses them."


class BasketScreen(PageScreen[None]):
    """What is drawn was asked for here; a change elsewhere marks it as old."""

    CSS_PATH = "../styles/buyer.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "lists", "lists", id="basket.lists", tooltip="Choose the lists of offers, and what may be spent"),
        Binding("f3", "take_out", "take out", id="basket.take_out", tooltip="Leave the chosen offer out; what is bought in its place is shown first"),
        Binding("f4", "put_back", "put back", id="basket.put_back", tooltip="Admit all offers again that were taken out; what that changes is shown first"),
        Binding("f5", "read", "look again", show=False, id="basket.read", tooltip="Read the lists again and look for the cheapest basket"),
        Binding("f6", "print", "print", id="basket.print", tooltip="Write what to buy as a PDF to print"),
        Binding("escape", "leave", "back", priority=True, id="basket.leave", tooltip="Back to the buyer's desk"),
    ]  # fmt: skip

    def __init__(self, db: str | None, desks: Desks) -> None:
        super().__init__(db, desks, name="basket")
        self.choice = OfferChoice()
        self.found: Shortages | None = None

    def compose(self) -> ComposeResult:
        """The lines of the basket, and what is said of it."""
        yield Static(Text("WHAT TO BUY"), id="title")
        yield Static(id="head", markup=False)
        yield Ledger(*columns_of(LINES), id="lines", empty="reading the lists ...")
        with VerticalScroll(id="basket-scroll"):
            yield SheetView(id="about")
        yield Static(id="said", markup=False)
        yield KeyBar()

    def on_mount(self) -> None:
        """Which lists, then what to buy."""
        self.query_one(Ledger).focus()
        self.watch(self.app, "units", self._draw, init=False)
        self.send(OfferChoiceRequest(), then=self._chosen_before)

    @property
    def basket(self) -> Basket | None:
        """What was found."""
        return self.found.buy if self.found is not None else None

    @property
    def units(self) -> Units:
        """The units shown in: those chosen on the screen, else the shop's."""
        usual = self.found.settings.shown_in if self.found is not None else Units.INCH
        return self.shop.units or usual

    @property
    def chosen(self) -> BasketLine | None:
        """The line that is chosen."""
        lines = self.basket.lines if self.basket is not None else ()
        place = self.query_one(Ledger).chosen
        return lines[place] if place < len(lines) else None

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Greyed where there is nothing to do it to."""
        if action == "take_out":
            return True if self.is_mounted and self.chosen is not None else None
        if action == "put_back":
            return True if self.choice.without else None
        if action == "print":
            return True if self.basket is not None else None
        return super().check_action(action, parameters)

    async def action_lists(self) -> None:
        """Choose the lists."""
        await self.app.push_screen(screen("offer_lists")(self.choice), self._other_lists)

    def action_read(self) -> None:
        """Look for the cheapest basket."""
        if not self.choice.lists:
            self.query_one(Ledger).fill([], empty=_NO_LISTS)
            return
        self.judge_page(self._request(self.choice), self._is_found, "looking for what to buy", tells=True)

    def action_take_out(self) -> None:
        """What would be bought without the chosen offer."""
        if (line := self.chosen) is not None:
            name = line.offer.name
            self._try(replace(self.choice, without=(*self.choice.without, name)), f"Take {name} out?")

    def action_put_back(self) -> None:
        """What would be bought from all offers."""
        if self.choice.without:
            self._try(replace(self.choice, without=()), f"Put {', '.join(self.choice.without)} back?")

    async def action_print(self) -> None:
        """A PDF of it."""
        if self.found is not None and self.basket is not None:
            request = PrintSheetRequest(file=f"to-buy-{self.found.on}.pdf")
            sheet = basket_sheet(self.basket, self._view)
            opened = screen("print")(self.db, self.desks, "PRINT   what to buy", request, sheet=sheet)
            await self.app.push_screen(opened, self._printed)

    def action_leave(self) -> None:
        """Back."""
        self.dismiss(None)

    @property
    def _view(self) -> View:
        assert self.found is not None
        return View(self.found.on, self.units)

    def _request(self, choice: OfferChoice) -> ShortagesRequest:
        return ShortagesRequest(
            verdicts=True,
            offers=choice.lists,
            budget=choice.budget,
            measure=choice.measure,
            without=choice.without,
        )

    def _try(self, choice: OfferChoice, title: str) -> None:
        """Look for another basket and ask whether it is to be had."""
        self.judge(
            self._request(choice), lambda found: self._would(choice, title, found), "trying", tells=True
        )

    async def _would(self, choice: OfferChoice, title: str, found: Shortages) -> None:
        before, after = self.basket, found.buy
        if before is None or after is None:
            return
        sheet = difference_of_baskets(before, after)
        text = Text(f"{plain(sheet.title)}\n\n")
        text.append_text(sheet_text(sheet, _SHEET))

        def answered(answer: dict[str, str] | None) -> None:
            if answer is not None:
                self._keep(choice)
                self._is_found(found)

        await self.app.push_screen(screen("confirm")(plain(title), text, None), answered)

    def _chosen_before(self, choice: OfferChoice) -> None:
        self.choice = choice
        self.action_read()

    def _other_lists(self, choice: OfferChoice | None) -> None:
        if choice is not None:
            self._keep(choice)
            self.action_read()

    def _keep(self, choice: OfferChoice) -> None:
        self.choice = choice
        self.send(KeepOfferChoiceRequest(choice=choice), then=lambda _: None)

    def _is_found(self, found: Shortages) -> None:
        self.found = found
        self._draw()
        self.refresh_bindings()

    def _printed(self, said: str | None) -> None:
        self.say(said or "")

    @on(Ledger.Taken, "#lines")
    async def _opened(self) -> None:
        if (line := self.chosen) is not None:
            sheet = line_sheet(line, self._view)
            await self.app.push_screen(Pane(sheet.title, sheet, name="basket_line"))

    @on(Failed)
    def _has_failed(self, event: Failed) -> None:
        first, *more = event.line.splitlines() or [event.line]
        self.say(f"{first}{f'  and {len(more)} more' if more else ''}", wrong=True)
        if self.found is None:
            self.query_one(Ledger).fill([], empty="Nothing could be looked for. F2 chooses other lists.")

    def _draw(self) -> None:
        found, basket = self.found, self.basket
        if found is None or basket is None:
            return
        ledger = self.query_one(Ledger)
        rows = rows_of(LINES, basket.lines, self._view)
        ledger.fill(rows, chosen=ledger.chosen, empty="Nothing to buy.")
        self.line("title", f"WHAT TO BUY   {heading_of_basket(basket)}")
        first, *others = basket_blocks(basket, self._view)
        said = [line for line in first.lines if not hasattr(line, "columns")] if first.heading == BUY else []
        blocks = (first._replace(heading="", lines=tuple(said)), *others)
        self.query_one("#about", SheetView).show(ResultSheet(BUY, BUY, blocks))
        self.draw_old()

    def draw_old(self) -> None:
        """The lists, and whether what is drawn is old."""
        names = ", ".join(PurePath(path).name for path in self.choice.lists)
        out = f"   taken out: {', '.join(self.choice.without)}" if self.choice.without else ""
        budget = f"   within {self.choice.budget}" if self.choice.budget else ""
        old = self.found is not None and self.old
        mark = "OLD: the crib has changed. F5 looks again   " if old else ""
        self.line("head", f"{mark}from {names or 'no list'}{budget}{out}")
