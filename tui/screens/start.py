"""The guided first crib: what is asked now as a form, and under it how to measure the line with the cursor."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from secrets import token_hex
from threading import Lock
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Static

from broachplan.crib.drafts import GuideDraft
from broachplan.guide.guide import NONE, SAME, Guide, Stage, as_words
from broachplan.guide.step import BeginGuideRequest, BegunGuide, StepOutcome, StepRequest
from broachplan.guide.words import INTRODUCTION, LATER, NEXT, opening
from broachplan.questions.hub import PlanRequest
from broachplan.questions.line import Line
from tui.bases.asking import Failed
from tui.bases.drafting import DraftingScreen
from tui.bases.pane import Pane
from tui.desks import Desks
from tui.how_to_measure import how_pane, how_text
from tui.plain import plain
from tui.registry import screen
from tui.widgets.entry import EntryLine
from tui.widgets.field_form import FieldForm
from tui.widgets.keybar import KeyBar

if TYPE_CHECKING:
    from broachplan.crib.drafts import Draft

_LABEL_WIDTH = 31


class StartScreen(DraftingScreen[PlanRequest]):
    """Every key typed is in the guide and on the station's disk: leave at any point and come back.

    Answers with the hub where it was answered, for the desk to plan.
    """

    CSS_PATH = "../styles/start.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "done", "next", priority=True, id="first_tools.done", tooltip="All lines are right: take the piece in, and to the next; enter in the last line does it too"),
        Binding("f3", "how", "how to measure", priority=True, id="first_tools.how", tooltip="How to measure the figure of the line: where the anvils go"),
        Binding("f4", "no_more", "no more", priority=True, id="first_tools.no_more", tooltip="No more pieces of this kind: on to the next"),
        Binding("f5", "back", "back", priority=True, id="first_tools.back", tooltip="Back to the hub; in the rest of the box to another kind"),
        Binding("f6", "plan", "plan", priority=True, id="first_tools.plan", tooltip="Plan the hub with the pieces that are in the crib by now"),
        Binding("enter", "next", "next line", priority=True, show=False, id="first_tools.next", tooltip="To the next line; from the last one as F2"),
        Binding("escape", "leave", "stop", priority=True, id="first_tools.leave", tooltip="Stop here; all that was typed is kept"),
    ]  # fmt: skip

    def __init__(self, db: str | None, desks: Desks) -> None:
        super().__init__(db, desks, name="start")
        self.guide = Guide()
        self._session = token_hex(8)
        self._writing = Lock()
        self._busy = True

    def compose(self) -> ComposeResult:
        """Where this is, the lines, how to measure, what was done."""
        yield Static("FIRST TOOLS   opening ...", id="title", markup=False)
        yield Static(id="intro", markup=False)
        yield Vertical(id="step")
        yield Static(id="how", markup=False)
        yield Static(id="said", markup=False)
        yield KeyBar()

    def on_mount(self) -> None:
        """Keys wait until it is known where to begin."""
        self.watch(self.app, "blocks", self._draw_how, init=False)
        self.shop.hold_keys()
        self.send(BeginGuideRequest(session=self._session), then=self._begun)

    @property
    def form(self) -> FieldForm | None:
        """The lines that are asked for; None until they are there."""
        return next(iter(self.query(FieldForm)), None)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Nothing more of the hub; a plan once there is a hub."""
        if action == "no_more":
            return True if self.guide.kind is not None else None
        if action == "back":
            return True if self.guide.stage is not Stage.HUB else None
        if action == "plan":
            return True if self.guide.stage not in (Stage.HUB, Stage.BUSHING) else None
        return super().check_action(action, parameters)

    async def action_next(self) -> None:
        """To the next line; the last one done, all of them are."""
        await self.keys_taken()
        form = self.form
        if form is None or self._busy:
            return
        if self.focused is not None and self.focused.id == form.fields[-1].name:
            self._finish()
        else:
            form.action_move(1)

    async def action_done(self) -> None:
        """All lines are right."""
        await self.keys_taken()
        if not self._busy:
            self._finish()

    async def action_no_more(self) -> None:
        """On to the next kind; what was typed of a piece is not dropped."""
        await self.keys_taken()
        if self._busy or self.guide.kind is None:
            return
        if self.guide.values:
            self.say("A piece is half typed: F2 takes it in, or empty its lines first.", wrong=True)
            return
        await self._ask(self.guide.no_more())

    async def action_back(self) -> None:
        """Back to the hub, or to another kind."""
        await self.keys_taken()
        if self._busy:
            return
        if self.guide.values:
            self.say("A piece is half typed: F2 takes it in, or empty its lines first.", wrong=True)
            return
        rest = self.guide.stage is Stage.REST and self.guide.rest
        await self._ask(self.guide.no_more() if rest else self.guide.at(Stage.HUB))

    async def action_plan(self) -> None:
        """Plan with what is there."""
        await self.keys_taken()
        if not self._busy and not self.guide.values:
            self._step(self.guide.at(Stage.PLAN))

    async def action_how(self) -> None:
        """How to measure the line with the cursor, all ways of it."""
        await self.keys_taken()
        if (line := self._here()) is not None:
            await self.app.push_screen(how_pane(line, self.guide.kind, blocks=self.shop.blocks))

    async def action_leave(self) -> None:
        """Stop; what was typed is kept, unless all was done."""
        await self.keys_taken()
        hub = self.guide.plan if self.guide.stage is not Stage.HUB else None
        if self.guide.stage is Stage.REST and not self.guide.values:
            self.guide = Guide()
        self._keep()
        self.dismiss(hub)

    async def _begun(self, begun: BegunGuide) -> None:
        await self._ask(begun.guide)
        self.say(" ".join(opening(begun)))

    async def _ask(self, guide: Guide) -> None:
        """The lines of where it is now, the cursor in the first one that is not answered; keys behind wait for them."""
        self.shop.hold_keys()
        self._busy = False
        self.guide = guide
        if guide.stage is Stage.PLAN:
            self._step(guide)
            return
        self._keep()
        kind = f": {guide.kind.plural}" if guide.stage is Stage.REST and guide.kind else ""
        self.line("title", f"FIRST TOOLS   {guide.title}{kind}")
        self.line("intro", "" if kind else " ".join(INTRODUCTION[guide.stage]))
        await self.query_one("#step").remove_children()
        form = FieldForm(
            [self._shown(line) for line in guide.lines],
            guide.answers,
            self._reason,
            id="step-form",
            label_width=_LABEL_WIDTH,
        )
        await self.query_one("#step").mount(form)
        line = guide.next_line or guide.lines[0]
        self.set_focus(form.line(line.name))
        self._draw_how()
        self.refresh_bindings()
        self.shop.release_keys()

    def _shown(self, line: Line) -> Line:
        """A line with what enter and = take in it."""
        given, same = self.guide.offered(line.name), self.guide.same(line.name)
        hint = f"(enter: {given})" if given else f"({SAME} {same})" if same else line.hint
        return replace(line, hint=hint, needed=line.needed and not given)

    def _reason(self, line: Line, text: str, _: Mapping[str, str]) -> str:
        return self.guide.reason_against(line, text)

    def _here(self) -> Line | None:
        """The line with the cursor."""
        name = self.focused.id if self.focused else None
        return next((line for line in self.guide.lines if line.name == name), None)

    def _finish(self) -> None:
        form = self.form
        if form is None:
            return
        values = {name: text or self.guide.offered(name) for name, text in form.values().items()}
        if values.get("tag") == NONE:
            form.fill({"tag": ""})
            self.call_later(self.action_no_more)
            return
        missing = next((field for field in form.fields if field.needed and not values[field.name]), None)
        if missing is not None:
            none = f", or {NONE} where it is not known" if self.guide.takes_none(missing) else ""
            self.say(f"{missing.label}: needed{none}. F3 shows how.", wrong=True)
            self.set_focus(form.line(missing.name))
        elif reasons := form.reasons():
            name, reason = next(iter(reasons.items()))
            self.say(reason, wrong=True)
            self.set_focus(form.line(name))
        else:
            self._step(self.guide.filled(values))

    def _step(self, guide: Guide, *, sure: bool = False) -> None:
        """Send it; keys wait for what comes next."""
        self.guide = guide
        self._busy = True
        self.shop.hold_keys()
        self.say("planning ..." if guide.stage is Stage.PLAN else "checking ...")
        request = StepRequest(guide=guide, session=self._session, sure=sure, by=self.shop.by)
        self.send(request, then=self._stepped)

    async def _stepped(self, done: StepOutcome) -> None:
        if done.doubts:
            await self._doubted(done)
            return
        await self._ask(done.guide)
        if done.wrong:
            self.say(done.wrong, wrong=True)
            if self.form is not None and done.at in [field.name for field in self.form.fields]:
                self.set_focus(self.form.line(done.at))
        elif done.answer is not None:
            from broachplan.sheets.answer import plan_sheet
            from broachplan.sheets.result import Detail

            self.say(" ".join(NEXT if done.answer.ready else LATER))
            sheet = plan_sheet(done.answer, detail=Detail.USUAL)
            await self.app.push_screen(Pane(sheet.short, sheet, name="first_plan"))
        else:
            self.say("; ".join(done.lines))

    async def _doubted(self, done: StepOutcome) -> None:
        """A slip is asked about while the piece can still be measured again."""
        self._busy = False
        self.guide = done.guide
        self.shop.release_keys(drop=True)
        words = "\n\n".join(f"{doubt.words}." for doubt in done.doubts)
        text = Text(plain(f"{words}\n\nF2 takes it as typed, escape goes back to measure again."))

        def answered(answer: dict[str, str] | None) -> None:
            if answer is not None:
                self._step(done.guide, sure=True)
                return
            self.say(f"look again: {done.doubts[0].words}", wrong=True)
            if self.form is not None:
                self.set_focus(self.form.line(done.at))

        await self.app.push_screen(screen("confirm")("Measured right?", text, None), answered)

    @on(Failed)
    def _has_failed(self, event: Failed) -> None:
        """The lines stay as they are: F2 tries again."""
        self._busy = False
        self.shop.release_keys(drop=True)
        self.say(event.line, wrong=True)

    @on(FieldForm.TextChanged)
    def _changed(self, event: FieldForm.TextChanged) -> None:
        if (
            self._busy
            or event.form is not self.form
            or (self.guide.stage is Stage.REST and not self.guide.rest)
        ):
            return
        values = event.form.values()
        for name, text in values.items():
            if text == SAME and (same := self.guide.same(name)):
                self._put(name, same)
                return
        guide = self.guide.filled(values)
        if guide != self.guide:
            self.guide = guide
            self._keep()
            reason = event.form.wrong()
            self.say(reason, wrong=bool(reason))

    def _put(self, name: str, text: str) -> None:
        """Put what the last one has into a line."""
        line = self.query_one(f"#{name}", EntryLine)
        line.value = text
        line.cursor_position = len(text)

    def on_descendant_focus(self) -> None:
        """How to measure follows the cursor."""
        self._draw_how()

    def _draw_how(self) -> None:
        """The first way alone, as many rows as there are; F3 shows all."""
        line, how = self._here(), self.query_one("#how", Static)
        if line is None:
            return
        width, height = max(how.size.width - 2, 20), how.size.height
        text = how_text(line, self.guide.kind, width, blocks=self.shop.blocks)
        lines = text.plain.split("\n")
        how.update(Text("\n".join(lines[: max(height, 3)]), no_wrap=True, overflow="ellipsis"))

    def _keep(self) -> None:
        """To the disk; one writes after the other, so the last one writes the last state."""

        def write(keep: Callable[[Draft], None]) -> None:
            with self._writing:
                keep(GuideDraft(self._session, as_words(self.guide)))

        self.keep_draft(write)
