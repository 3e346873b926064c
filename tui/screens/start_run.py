"""Start a run: fetch the tools from their homes, confirm them, and go to the press."""

from __future__ import annotations

from dataclasses import fields
from typing import Any, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Static

from broachplan.lengths import Units
from broachplan.planner.answer import Answer, Plan
from broachplan.questions.hub import HubQuestion, PlanRequest
from broachplan.questions.line import chosen, lines_of
from broachplan.questions.runs import RunStartRequest
from broachplan.settings import Fetching
from tui import safety
from tui.bases.asking import AskingScreen, Failed
from tui.desks import Desks
from tui.plain import plain
from tui.press.pick_list import PickList, missing_words, plan_lines
from tui.registry import screen
from tui.widgets.field_form import FieldForm
from tui.widgets.keybar import KeyBar
from tui.widgets.pad_line import PadLine

_LINES = chosen(lines_of(RunStartRequest), "hubs", "read_each", "job", "drawing", "marks", "by")
_FETCHED = "1"


class StartRunScreen(AskingScreen[None]):
    """The pick list of a plan. `1` and Enter lends what is on it and starts the run; nothing is lent before."""

    CSS_PATH = "../styles/run.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "start", "start", priority=True, id="start.start", tooltip="The tools are fetched: lend them and start the run, as 1 Enter does"),
        Binding("f6", "cautions", "cautions", id="start.cautions", tooltip="The cautions of this plan"),
        Binding("escape", "leave", "back", id="start.leave", tooltip="Back to the plan; nothing is lent"),
    ]  # fmt: skip

    def __init__(self, db: str | None, desks: Desks, asked: PlanRequest, answer: Answer, plan: Plan) -> None:
        super().__init__(db, desks, name="start_run")
        self.asked = asked
        self.answer = answer
        self.plan = plan
        self.picks = PickList(plan, answer.settings.pick_list is Fetching.SCANNED)
        self._starting = False
        self._ahead: list[str] = []

    def compose(self) -> ComposeResult:
        """What is fetched, what the run is for, the line to confirm in."""
        yield Static(Text("START A RUN   fetch the tools, then confirm"), id="title")
        with VerticalScroll(id="fetch", can_focus=False):
            yield Static(id="picks", markup=False)
        yield FieldForm(_LINES, {"by": self.shop.by}, id="form")
        yield Static(id="said", markup=False)
        with Horizontal(id="entry"):
            yield Static(id="prompt", markup=False)
            yield Static("▸", id="mark", markup=False)
            yield PadLine(id="typed")
        yield Static(Text(safety.SHORT), id="safety")
        yield KeyBar()

    def on_mount(self) -> None:
        """Confirm at once, or type on."""
        self.query_one("#typed", PadLine).focus()
        self.watch(self.app, "units", self._draw, init=False)
        self._draw()

    @property
    def units(self) -> Units:
        """The units shown in."""
        return self.shop.units or self.answer.settings.shown_in

    @property
    def at_hand(self) -> str:
        """The tag of the broach."""
        return self.plan.broach.tag

    @property
    def to_fetch(self) -> str:
        """The tags of all that is fetched."""
        return ", ".join(self.plan.taken)

    async def action_start(self) -> None:
        """Start, once what is typed in the form is taken."""
        await self.keys_taken()
        self._start()

    def action_cautions(self) -> None:
        """What to know before pressing."""
        from broachplan.sheets.plan import cautions_sheet
        from tui.bases.pane import Pane

        sheet = cautions_sheet(self.answer, self.plan)
        self.app.push_screen(Pane(sheet.title, sheet, name="cautions"))

    def action_leave(self) -> None:
        """Back."""
        self.dismiss(None)

    @on(PadLine.Entered)
    def _entered(self, event: PadLine.Entered) -> None:
        if self._starting:
            self._ahead.append(event.text)
            return
        if event.text == _FETCHED:
            self._start()
            return
        after = self.picks.after(event.text)
        if after is None:
            self.say(f"read {plain(event.text)}; {self._asks()}", wrong=True)
            return
        self.picks = after
        self.say("")
        self._draw()

    @on(FieldForm.Submitted)
    def _filled(self) -> None:
        self.query_one("#typed", PadLine).focus()

    def _start(self) -> None:
        form = self.query_one(FieldForm)
        if self._starting:
            return
        if left := self.picks.to_scan:
            self.say(missing_words(left), wrong=True)
            return
        if reasons := form.reasons():
            self.say(next(iter(reasons.values())), wrong=True)
            return
        self._starting = True
        self.shop.hold_keys()
        values = form.values()
        self.shop.by = values["by"]
        self.send(self._request(values), then=self._started)

    def _request(self, values: dict[str, str]) -> RunStartRequest:
        lines: dict[str, Any] = {each.name: getattr(self.asked, each.name) for each in fields(HubQuestion)}
        lines |= values
        return RunStartRequest(
            press=self.plan.press.tag if self.plan.press else "",
            broach=self.plan.broach.tag,
            bushing=self.plan.bushing.tag,
            **lines,
        )

    def _started(self, kept: Any) -> None:
        """To the press; or there is no such plan any more."""
        state = getattr(kept, "state", None)
        if state is None:
            self._not_started("there is no plan any more. Esc, then plan again.")
            return
        # Keys typed behind the last one are for the press.
        ahead = (*self._ahead, self.query_one("#typed", PadLine).value)
        made = screen("run")(self.db, self.desks, str(state.run.number), fresh=True, ahead=ahead)
        # Not awaited: this screen cannot go before its own handler is done. The keys wait for the one that opens.
        self.app.switch_screen(made)
        self.shop.release_keys()

    @on(Failed)
    def _failed(self, event: Failed) -> None:
        self._not_started(event.line)

    def _not_started(self, why: str) -> None:
        """Nothing is lent; what was typed for the press is forgotten."""
        self._starting = False
        self._ahead.clear()
        self.shop.release_keys(drop=True)
        self.say(f"NOT STARTED: {why}", wrong=True)

    def _asks(self) -> str:
        if self.picks.to_scan:
            return "scan each tool of the list"
        return f"{_FETCHED} Enter when all of the list is at the press"

    def _draw(self) -> None:
        lines = [*self.picks.lines(self.units), "", *plan_lines(self.plan, self.units)]
        self.query_one("#picks", Static).update(Text("\n".join(lines)))
        words = (
            f"Scan the next tool ({len(self.picks.to_scan)} left)"
            if self.picks.to_scan
            else "Tools as fetched? 1 Enter"
        )
        self.line("prompt", words)
