"""At the press: one pass at a time, in figures that read at arm's length, with its picture."""

from __future__ import annotations

from typing import ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.reactive import reactive
from textual.widgets import Static

from broachplan.lengths import Units
from broachplan.planner.answer import Answer, Pass, Plan
from broachplan.planner.pass_section import section_of
from broachplan.sheets.sizes import gauge_units, unit_word
from tui import safety
from tui.plain import plain
from tui.stack import StackedScreen
from tui.widgets.figure import LargeFigure
from tui.widgets.keybar import KeyBar
from tui.widgets.placed import put
from tui.widgets.section_view import SectionView
from tui.words import (
    figure,
    load_words,
    pass_rows,
    plan_words,
)


class PressScreen(StackedScreen[int]):
    """Steps through the passes of one plan. Answers with the place of the pass it was left at."""

    CSS_PATH = "../styles/press.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("right,space,n", "turn(1)", "next", id="press.next", tooltip="The next pass"),
        Binding("left,b", "turn(-1)", "before", id="press.back", tooltip="The pass before"),
        Binding("home", "leap(0)", "first", show=False, id="press.first", tooltip="The first pass"),
        Binding("end", "leap(-1)", "last", show=False, id="press.last", tooltip="The last pass"),
        Binding("z", "look_close", "close up", id="press.close", tooltip="Look at the keyway close up, or at the whole bore"),
        Binding("p", "picture_alone", "picture", id="press.picture", tooltip="The picture alone, or the figures beside it"),
        Binding("f6,c", "cautions", "cautions", id="press.cautions", tooltip="The cautions of this plan"),
        Binding("escape", "leave", "desk", id="press.leave", tooltip="Back to the desk"),
    ]  # fmt: skip
    place: reactive[int] = reactive(0, init=False)

    def __init__(self, answer: Answer, plan: Plan, place: int = 0) -> None:
        super().__init__(name="press")
        self.answer = answer
        self.plan = plan
        self.set_reactive(PressScreen.place, max(0, min(place, len(plan.passes) - 1)))

    def compose(self) -> ComposeResult:
        """Figures left, picture right."""
        yield Static(id="title", markup=False)
        with Horizontal(id="press-body"):
            with Vertical(id="figures"):
                yield Static(id="put-in", markup=False)
                yield LargeFigure(id="shims")
                yield Static(id="should-read", markup=False)
                yield LargeFigure(id="reading")
                yield Static(id="bites", markup=False)
                yield Static(id="all-passes", markup=False)
            yield SectionView(id="section")
        yield Static(Text(safety.SHORT), id="safety")
        yield KeyBar()

    def on_mount(self) -> None:
        """Draw, now and whenever the units change."""
        self.watch(self.app, "units", self._draw, init=False)
        self._draw()

    def watch_place(self) -> None:
        """Draw another pass."""
        self._draw()

    def action_turn(self, step: int) -> None:
        """Another pass, not beyond the ends."""
        self.place = max(0, min(self.place + step, len(self.plan.passes) - 1))

    def action_leap(self, place: int) -> None:
        """The first pass, or with -1 the last."""
        self.place = place % max(len(self.plan.passes), 1)

    def action_look_close(self) -> None:
        """The keyway alone, or the whole bore."""
        view = self.query_one(SectionView)
        view.close = not view.close

    def action_picture_alone(self) -> None:
        """The picture over the whole screen, or beside the figures."""
        self.toggle_class("-picture")

    def action_cautions(self) -> None:
        """What to know before pressing."""
        from broachplan.sheets.plan import cautions_sheet
        from tui.bases.pane import Pane

        sheet = cautions_sheet(self.answer, self.plan)
        self.app.push_screen(Pane(sheet.title, sheet, name="cautions"))

    def action_leave(self) -> None:
        """Back."""
        self.dismiss(self.place)

    @property
    def units(self) -> Units:
        """The units shown in."""
        chosen: Units | None = getattr(self.app, "units", None)
        return chosen or self.answer.settings.units

    @property
    def at_hand(self) -> str:
        """The tag of the broach, which is taken back."""
        return self.plan.broach.tag

    @property
    def to_fetch(self) -> str:
        """The tags of all that is fetched for the plan, which are lent."""
        return ", ".join(self.plan.taken)

    def _draw(self) -> None:
        if not self.plan.passes:
            self._line("title", "Nothing left to cut")
            return
        one, units = self.plan.passes[self.place], self.units
        self._line("title", self._which(one))
        self._line("put-in", self._put_in(one))
        self._line("should-read", self._should_read(one))
        for name, length in (("shims", one.shims), ("reading", one.reading)):
            shown = self.query_one(f"#{name}", LargeFigure)
            shown.value, shown.unit = figure(length, units), unit_word(units)
        self._line("bites", self._bites(one))
        self._line("all-passes", self._all_passes())
        view = self.query_one(SectionView)
        view.units = gauge_units(units)
        view.section = section_of(self.answer, self.plan, self.place)

    def _which(self, one: Pass) -> str:
        return f"PASS {one.number} OF {self.plan.passes[-1].number}   {plan_words(self.plan)}"

    def _put_in(self, one: Pass) -> str:
        if not one.stack:
            return "PUT IN  no shim: the broach on the slot floor"
        units = self.units
        pieces = " + ".join(
            f"{plain(shim.tag)} ({figure(shim.thickness, units)})" if shim.thickness else plain(shim.tag)
            for shim in one.stack
        )
        return f"PUT IN  {pieces}"

    def _should_read(self, one: Pass) -> str:
        if one.reading <= self.answer.hub.widest_bore:
            return "READS AFTER  not yet gaugeable: floor still within the bore's arc"
        return "READS AFTER  keyway floor to the opposite wall"

    def _bites(self, one: Pass) -> str:
        units = self.units
        uncounted, unspaced = "- (teeth not counted)", "- (tooth pitch not measured)"
        largest = (
            uncounted if one.largest_bite is None else f"{figure(one.largest_bite, units)} {unit_word(units)}"
        )
        bites = f"first bite {figure(one.first_bite, units)}, largest {largest}"
        cutting = uncounted if one.teeth_cutting is None else str(one.teeth_cutting)
        at_once = unspaced if one.teeth_in_cut is None else str(one.teeth_in_cut)
        teeth = f"teeth cutting {cutting}, in the cut at once {at_once}"
        return f"{bites}\n{teeth}\nload {load_words(one.force_low, one.force_high, units)}"

    def _all_passes(self) -> str:
        rows = pass_rows(self.plan, self.units)
        lines = []
        for place, row in enumerate(rows):
            mark = "▸" if place == self.place else " "
            lines.append(f"{mark}{row[0]:>2}  shims {row[2]:>8}  reads {row[3]:>8}")
        return "\n".join(lines)

    def _line(self, name: str, text: str) -> None:
        put(Text(text), self.query_one(f"#{name}", Static))
