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
from broachplan.sheets.table import View, columns_of, rows_of
from broachplan.shown import numbered
from broachplan.tooling.drive import Drive
from tui import safety
from tui.bases.asking import Failed
from tui.bases.hub_asking import LAST_HUB, HubAsking
from tui.desks import Desks
from tui.plain import plain
from tui.registry import screen
from tui.widgets.entry import EntryLine
from tui.widgets.figure import LargeFigure
from tui.widgets.hub_form import HubForm
from tui.widgets.keybar import KeyBar
from tui.widgets.ledger import Ledger
from tui.widgets.placed import put
from tui.widgets.section_view import SectionView

if TYPE_CHECKING:
    from broachplan.planner.answer import Answer, Plan
    from broachplan.questions.hub import PlanRequest
    from broachplan.settings import Settings
    from broachplan.sheets.result import ResultSheet

_NEEDS_ANSWER = ("refusals", "make", "cautions")


class DeskScreen(HubAsking):
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
        self.planning = False
        self._changed_since = False
        self._open = False
        self._runs = 0
        # Cautions by name: those of this answer's plans that were shown, and those of answers before.
        self._named: set[str] = set()
        self._known: frozenset[str] = frozenset()
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
        self._draw()
        self.watch(self.app, "units", self._draw, init=False)
        self.watch(self.app, "changes", self._crib_changed, init=False)
        self.call_after_refresh(self.open_crib)

    def open_crib(self) -> None:
        """Ask how the shop shows lengths."""
        self.work(self.ask_shop, then=self._opened, group="open")

    @property
    def plan(self) -> Plan | None:
        """The chosen plan."""
        if self.answer is None or not self.answer.plans:
            return None
        return self.answer.plans[min(self.query_one("#plans", Ledger).chosen, len(self.answer.plans) - 1)]

    @property
    def drive(self) -> Drive:
        """What drives the press of the chosen plan: cautions are worded for it."""
        return self.plan.drive if self.plan else Drive.NOT_KNOWN

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
            self._say("Inputs changed: F2 to plan again, then start the run.", wrong=True)
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
        self._draw()
        self._open = True
        self._plan_at_start()
        self._count_runs()
        self.look_for_last_hub()

    def _count_runs(self) -> None:
        """A run that a power cut left open is shown where the work begins, on every station."""
        self.send(OpenRunsRequest(), then=self._runs_counted, group="runs")

    def _runs_counted(self, runs: Sequence[object]) -> None:
        self._runs = len(runs)
        self._draw_title()

    @on(HubForm.TextChanged)
    def _typed(self, event: HubForm.TextChanged) -> None:
        reason, self.keyway_typed = event.reason, None
        asked = None if reason else self.query_one(HubForm).asked()
        if asked is not None:
            reason = self.check(asked)
        self.asked = None if reason else asked
        self._say(reason or "F2 or enter plans this hub.", wrong=bool(reason))
        self._mark_stale(asked)
        self._draw_title()
        self._draw_keyway()
        self.refresh_bindings()
        self._plan_at_start()

    @on(HubForm.Submitted)
    def _submitted(self) -> None:
        self.action_plan()

    def _planned(self, asked: PlanRequest, answer: Answer) -> None:
        self.planning = False
        if asked != self.answered:
            self._known |= self._named
            self._named = set()
        self.answer, self.answered = answer, replace(asked, why="")
        self._changed_since = False
        self.remove_class("-stale")
        if self.query_one("#said").has_class("-wrong"):
            self._say("", wrong=False)  # what stopped the plan before is over
        self._draw()
        if asked.why:
            self.action_refusals()
        elif answer.ready and isinstance(self.focused, EntryLine):
            self.query_one("#plans", Ledger).focus()

    @on(Failed)
    def _failed(self, event: Failed) -> None:
        if event.group == LAST_HUB:
            return  # the hub is in the form; only the next start would not have it
        self.planning = False
        self._say(event.line, wrong=True)
        self._draw_verdict()
        self.refresh_bindings()

    @on(Ledger.Chosen, "#plans")
    def _other_plan(self) -> None:
        self._draw_plan()

    @on(Ledger.Chosen, "#passes")
    def _other_pass(self) -> None:
        self._draw_picture()

    @on(Ledger.Taken)
    def _to_the_press(self) -> None:
        self.action_press()

    def _begin(self, asked: PlanRequest) -> None:
        self.planning = True
        self._draw_verdict()
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
        self._draw_verdict()

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

    def _draw_title(self) -> None:
        from tui.words import crib_words

        units = "mm and kN" if self.units is Units.MM else "inches and lbf"
        runs = f"   {numbered(self._runs, 'open run')}: ctrl+n" if self._runs else ""
        self._line(
            "title",
            f"BROACHPLAN   machinist's desk   {crib_words(self.db, self.shop.shop_words.crib)}, in {units}{runs}",
        )

    def _draw(self) -> None:
        self._draw_title()
        self._draw_keyway()
        self._draw_verdict()
        if self.answer is None:
            return
        empty = "No plan: F4 says why, F5 what to make."
        if self.answer.lacks:
            lacks = " and no ".join(kind.plural for kind in self.answer.lacks)
            empty = f"The crib has no {lacks} yet: ctrl+f takes the first tools in."
        plans = self.query_one("#plans", Ledger)
        rows = rows_of(PLANS, self.answer.plans, View(units=self.units))
        plans.fill(rows, chosen=plans.chosen, empty=empty)
        self._draw_plan()

    def _draw_keyway(self) -> None:
        """What the form asks for now, T first; while it asks for nothing, what was answered."""
        keyway, t, lines = self.keyway_typed or (self.answer.keyway if self.answer else None), "", []
        units = self.units_typed if self.keyway_typed else self.units
        if keyway:
            from broachplan.sheets.answer import keyway_points, t_in_words

            t = f"T {t_in_words(keyway, units)}"
            lines = [plain(line) for line in keyway_points(keyway, units) if not line.startswith("T ")]
        self._line("t", t)
        self._line("keyway", "\n".join(lines))

    def _draw_verdict(self) -> None:
        if self.planning:
            words = "planning ..."
        elif self.answer is None:
            words = "not planned yet"
        else:
            from broachplan.sheets.answer import verdict

            stale = "Inputs changed: F2 to plan again; " if self.has_class("-stale") else ""
            words = f"{stale}{plain(verdict(self.answer)[1])}"
        large = self.query_one("#answer", LargeFigure)
        large.value = words.partition(":")[0] if words.startswith(("READY", "NO PLAN")) else ""
        large.set_class(not large.value, "-empty")
        self._line("verdict", words)

    def _draw_plan(self) -> None:
        from broachplan.sheets.answer import plan_words
        from broachplan.sheets.caution_names import caution_names
        from tui.words import notice_words

        answer, plan, passes = self.answer, self.plan, self.query_one("#passes", Ledger)
        view = View(units=self.units, bore=answer.hub.widest_bore) if answer else View()
        passes.fill(rows_of(PASSES, plan.passes if plan else (), view), chosen=passes.chosen)
        self._line("chosen", plain(plan_words(plan)) if plan else "")
        names = caution_names(plan.cautions) if plan else []
        self._named.update(names)
        self._line("notice", notice_words(answer, plan, self.units, names, self._known) if answer else "")
        self._draw_picture()
        self.refresh_bindings()

    def _draw_picture(self) -> None:
        from broachplan.planner.pass_section import section_of

        plan, view = self.plan, self.query_one(SectionView)
        view.units = self.units
        if plan is None or not plan.passes or self.answer is None:
            view.section = None
        else:
            view.section = section_of(self.answer, plan, self.query_one("#passes", Ledger).chosen)

    def _say(self, line: str, *, wrong: bool) -> None:
        said = self.query_one("#said", Static)
        said.set_class(wrong, "-wrong")
        put(Text(plain(line)), said)

    def _line(self, name: str, text: str) -> None:
        put(Text(text), self.query_one(f"#{name}", Static))
