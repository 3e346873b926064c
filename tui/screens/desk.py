"""The machinist's desk: the hub on the left, the plans and their passes on the right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.widgets import Static

from broachplan.lengths import Units
from broachplan.questions.at_press import OpenRunsRequest
from broachplan.settings import Picture
from broachplan.sheets.plans import PASSES, PLANS
from broachplan.sheets.table import columns_of
from tui import safety
from tui.bases.asking import Failed
from tui.bases.hub_asking import LAST_HUB
from tui.bases.hub_drawing import HubDrawing
from tui.desks import Desks
from tui.registry import screen
from tui.widgets.entry import EntryLine
from tui.widgets.figure import LargeFigure
from tui.widgets.hub_form import HubForm
from tui.widgets.keybar import KeyBar
from tui.widgets.ledger import Ledger
from tui.widgets.section_view import SectionView

if TYPE_CHECKING:
    from broachplan.planner.answer import Answer
    from broachplan.questions.hub import PlanRequest
    from broachplan.settings import Settings
    from broachplan.sheets.result import ResultSheet

_NEEDS_ANSWER = ("refusals", "make", "cautions")


class DeskScreen(HubDrawing):
    """Asks the desk in a worker and draws what it answers."""

    CSS_PATH = "../styles/desk.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "plan", "plan", id="desk.plan", tooltip="Plan the hub in the form; enter does it too"),
        Binding("f3", "press", "press", id="desk.press", tooltip="Start a run of the chosen plan: fetch its tools, then pass by pass at the press"),
        Binding("ctrl+n", "runs", "open runs", show=False, priority=True, id="desk.runs", tooltip="The runs that are open: continue one at the press"),
        Binding("f4", "refusals", "why", id="desk.refusals", tooltip="Why everything else was refused, by rule"),
        Binding("f5", "make", "make", id="desk.make", tooltip="What to turn, slot, cut or look for"),
        Binding("f6", "cautions", "cautions", id="desk.cautions", tooltip="The cautions of the chosen plan and the key's remarks"),
        Binding("f8", "crib", "crib", priority=True, id="desk.crib", tooltip="The attendant's desk: the pieces in the crib, lent, returned, counted"),
        Binding("f10,ctrl+o", "joint", "shaft", id="desk.joint", tooltip="The shaft that goes with the hub: key, keyseat, milling, strength"),
        Binding("escape", "to_form", "to the form", show=False, id="desk.form", tooltip="Back to the line of the form last typed in"),
    ]  # fmt: skip

    def __init__(self, db: str | None, start: PlanRequest | None, desks: Desks) -> None:
        super().__init__(db, start, desks, name="desk")
        self.asked: PlanRequest | None = None
        self._changed_since = False
        self._open = False
        self._plan_when_open = start is not None

    def compose(self) -> ComposeResult:
        """Title, form, results, the permanent caution and the keys."""
        yield Static(id="title", markup=False)
        with Horizontal(id="body"):
            with Vertical(id="left"):
                yield HubForm(self.start, id="form")
                yield Static(id="said", markup=False)
                yield SectionView(id="picture")
            with Vertical(id="right"):
                yield LargeFigure(id="answer")
                yield Static(id="verdict", markup=False)
                yield Static(id="chosen", markup=False)
                yield Ledger(*columns_of(PASSES), id="passes", empty="")
                yield Static(id="notice", markup=False)
                yield Ledger(*columns_of(PLANS), id="plans", empty="Plans appear here, the best first.")
                yield Static(id="t", markup=False)
                yield Static(id="keyway", markup=False)
        yield Static(Text(safety.SHORT), id="safety")
        yield KeyBar()

    def on_mount(self) -> None:
        """The crib opens when the screen has been seen."""
        self.set_focus(self.query_one("#bore"))
        self.draw()
        self.watch(self.app, "units", self.draw, init=False)
        self.watch(self.app, "changes", self._crib_changed, init=False)
        self.call_after_refresh(self.open_crib)

    def open_crib(self) -> None:
        """Ask how the shop shows lengths."""
        self.work(self.ask_shop, then=self._opened, group="open")

    @property
    def at_hand(self) -> str:
        """The tag of the chosen plan's broach, which is taken back."""
        return self.plan.broach.tag if self.plan else ""

    @property
    def to_fetch(self) -> str:
        """The tags of all that is fetched for the chosen plan, which are lent."""
        return ", ".join(self.plan.taken) if self.plan else ""

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Greyed until there is something to show."""
        if action == "plan":
            return True if self.asked is not None and not self.planning else None
        if action == "press":
            return True if self.plan is not None and self.plan.passes else None
        if action in _NEEDS_ANSWER:
            return True if self.answer is not None else None
        return super().check_action(action, parameters)

    def action_plan(self) -> None:
        """Plan the hub in the form."""
        if self.asked is not None:
            self._begin(self.asked)

    def action_press(self) -> None:
        """To the press with the chosen plan, as it was asked for."""
        plan = self.plan
        if self.answer is None or self.answered is None or plan is None or not plan.passes:
            return
        if self.has_class("-stale"):
            self.put_said("Inputs changed: F2 to plan again, then start the run.", wrong=True)
            return
        self.app.push_screen(screen("start_run")(self.db, self.desks, self.answered, self.answer, plan))

    async def action_runs(self) -> None:
        """The runs that are open; keys behind this one wait for them."""
        await self.app.push_screen(screen("runs")(self.db, self.desks, self.shop_units or Units.INCH))

    def action_refusals(self) -> None:
        """Why the others were refused."""
        if self.answer is not None:
            self.app.push_screen(screen("refusals")(self.answer), self._more_refusals)

    def action_make(self) -> None:
        """What would make the hub possible."""
        if self.answer is not None:
            from broachplan.sheets.plan import make_sheet

            self._read(make_sheet(self.answer, self.units), "make")

    def action_cautions(self) -> None:
        """What to know before pressing."""
        if self.answer is not None:
            from broachplan.sheets.plan import cautions_sheet

            self._read(cautions_sheet(self.answer, self.plan), "cautions")

    async def action_crib(self) -> None:
        """The attendant's desk; a press taken there is put into the form. Keys behind this one wait for it."""
        await self.app.push_screen(
            screen("crib")(self.db, self.desks, self.shop_units or Units.INCH), self._take_press
        )

    def action_joint(self) -> None:
        """The shaft that goes with the hub in the form; what is settled there is taken into the form."""
        from tui.shaft_forms import start_for

        start = start_for(self.query_one(HubForm).values())
        self.app.push_screen(screen("joint")(start, self.desks.line_for), self._take_joint)

    def take_hub(self, hub: PlanRequest) -> None:
        """Put a hub that was answered elsewhere into the form, and plan it."""
        from broachplan.questions.line import as_typed

        self._plan_when_open = True
        self.query_one(HubForm).fill({name: text for name, text in as_typed(hub).items() if text})

    def action_to_form(self) -> None:
        """Type on."""
        self.query_one(HubForm).focus_last()

    def _opened(self, settings: Settings) -> None:
        self.shop_units = settings.units
        self.shop.shop_words = settings.words
        self.shop.blocks = settings.picture is Picture.BLOCKS
        self.draw()
        self._open = True
        self._plan_at_start()
        self._count_runs()
        self.look_for_last_hub()

    def _count_runs(self) -> None:
        """A run that a power cut left open is shown where the work begins, on every station."""
        self.send(OpenRunsRequest(), then=self._runs_counted, group="runs")

    def _runs_counted(self, runs: Sequence[object]) -> None:
        self.open_runs = len(runs)
        self.draw_title()

    @on(HubForm.TextChanged)
    def _typed(self, event: HubForm.TextChanged) -> None:
        reason, self.keyway_typed = event.reason, None
        asked = None if reason else self.query_one(HubForm).asked()
        if asked is not None:
            reason = self.check(asked)
        self.asked = None if reason else asked
        self.put_said(reason or "F2 or enter plans this hub.", wrong=bool(reason))
        self._mark_stale(asked)
        self.draw_title()
        self.draw_keyway()
        self.refresh_bindings()
        self._plan_at_start()

    @on(HubForm.Submitted)
    def _submitted(self) -> None:
        self.action_plan()

    def _planned(self, asked: PlanRequest, answer: Answer) -> None:
        self.planning = False
        if asked != self.answered:
            self.known |= self.named
            self.named = set()
        self.answer, self.answered = answer, replace(asked, why="")
        self._changed_since = False
        self.remove_class("-stale")
        if self.query_one("#said").has_class("-wrong"):
            self.put_said("", wrong=False)  # what stopped the plan before is over
        self.draw()
        if asked.why:
            self.action_refusals()
        elif answer.ready and isinstance(self.focused, EntryLine):
            self.query_one("#plans", Ledger).focus()

    @on(Failed)
    def _failed(self, event: Failed) -> None:
        if event.group == LAST_HUB:
            return  # the hub is in the form; only the next start would not have it
        self.planning = False
        self.put_said(event.line, wrong=True)
        self.draw_verdict()
        self.refresh_bindings()

    @on(Ledger.Chosen, "#plans")
    def _other_plan(self) -> None:
        self.draw_plan()

    @on(Ledger.Chosen, "#passes")
    def _other_pass(self) -> None:
        self.draw_picture()

    @on(Ledger.Taken)
    def _to_the_press(self) -> None:
        self.action_press()

    def _begin(self, asked: PlanRequest) -> None:
        self.planning = True
        self.draw_verdict()
        self.refresh_bindings()
        self.send(asked, then=lambda answer: self._planned(asked, answer))
        self.keep_last_hub(asked)

    def _plan_at_start(self) -> None:
        """Plan the question that was given, as soon as it is read and the crib is open."""
        if self._plan_when_open and self._open and self.asked is not None:
            self._plan_when_open = False
            self._begin(self.asked)

    def _crib_changed(self) -> None:
        """What was planned may be lent by now."""
        self._changed_since = True
        self._mark_stale(self.asked)
        self._count_runs()

    def _mark_stale(self, asked: PlanRequest | None) -> None:
        stale = self._changed_since or asked != self.answered
        self.set_class(self.answer is not None and stale, "-stale")
        self.draw_verdict()

    def _more_refusals(self, all_of_them: bool | None) -> None:
        if all_of_them and self.answered is not None:
            self._begin(replace(self.answered, why="all"))

    def _take_press(self, tag: str | None) -> None:
        if tag:
            self.query_one("#press", EntryLine).value = tag

    def _take_joint(self, settled: dict[str, str] | None) -> None:
        if settled:
            bore = settled.pop("bore")
            self.query_one(HubForm).fill({**settled, **({"bore": bore} if bore else {})})

    def _read(self, sheet: ResultSheet, name: str) -> None:
        from tui.bases.pane import Pane

        self.app.push_screen(Pane(sheet.title, sheet, name=name))
