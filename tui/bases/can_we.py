"""Can we do it? A line to type into while the customer waits, the answer below it, and one key that makes it a job."""

from __future__ import annotations

from abc import abstractmethod
from typing import TYPE_CHECKING, ClassVar, TypeVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Static

from broachplan.lengths import Units
from broachplan.questions.can_we import ASKED, CanWeRequest
from broachplan.questions.jobs import JobAddRequest
from broachplan.questions.line import chosen
from broachplan.questions.read_job import texts_of
from broachplan.views.can_we import answer_words, can_we_sheet, with_what
from tui.bases.judging import PageScreen
from tui.bases.pane import Pane
from tui.desks import Desks
from tui.plain import fitted, plain
from tui.widgets.quick_form import QuickForm

if TYPE_CHECKING:
    from broachplan.desks.buyer.add_job import AddedJob
    from broachplan.desks.buyer.can_we import CanWe

Result = TypeVar("Result")
_ROWS = chosen(ASKED, "bore", "key", "hub_length"), chosen(ASKED, "material", "quantity", "due")


class CanWeScreen(PageScreen[Result]):
    """An answer is to what it was given for: another text takes it away."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("q,Q", "ask", "can we do it?", key_display="Q", priority=True, id="buyer.ask", tooltip="A line to type into while the customer waits: bore, key, length, material, how many, by when"),
        Binding("f2", "answer", "ask", show=False, priority=True, id="buyer.answer", tooltip="Answer what is typed; again, the whole answer with its reason"),
        Binding("f3", "make_job", "make it a job", priority=True, id="buyer.make_job", tooltip="Put what was asked into the list of jobs, under the next free number"),
    ]  # fmt: skip

    def __init__(self, db: str | None, desks: Desks, *, name: str) -> None:
        super().__init__(db, desks, name=name)
        self.answered: CanWe | None = None

    @property
    @abstractmethod
    def units(self) -> Units:
        """The units shown in."""

    @abstractmethod
    def is_added(self) -> None:
        """The job that was asked for is in the list."""

    def question(self) -> ComposeResult:
        """The lines to type in, and the answer."""
        yield QuickForm("CAN WE DO IT? ", _ROWS, id="ask")
        yield Static(id="answer", markup=False)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Only what is answered can be made a job."""
        if action == "make_job":
            return True if self.answered is not None else None
        if action == "ask":
            return not self.typing
        return super().check_action(action, parameters)

    @property
    def typing(self) -> bool:
        """Whether a letter is for one of the lines."""
        return self.is_mounted and self.question_form.has_cursor

    def action_ask(self) -> None:
        """Type what the customer asks for."""
        self.question_form.begin()

    async def action_answer(self) -> None:
        """Answer it; what is answered already is shown whole."""
        await self.keys_taken()
        if self.answered is not None:
            await self._show_answer(self.answered)
        elif any(self.question_form.values().values()):
            self._answer()
        else:
            self.question_form.begin()

    async def action_make_job(self) -> None:
        """Add the job that was asked for."""
        await self.keys_taken()
        found = self.answered
        if found is None or self.judging(JobAddRequest):
            return
        values = {name: text for name, text in texts_of(found.shortage.job).items() if text}
        if found.press_by is not None:
            values["press_by"] = found.press_by.isoformat()
        request = JobAddRequest(number=found.shortage.job.number, values=values, by=self.shop.by)
        self.answered = None
        self.send(request, then=self._is_added)

    @property
    def question_form(self) -> QuickForm:
        """What is typed."""
        return self.query_one(QuickForm)

    @on(QuickForm.QuickAsked)
    async def _asked(self) -> None:
        await self.action_answer()

    @on(QuickForm.QuickTyped)
    def _other_question(self) -> None:
        """An answer is to what it was given for; that a job was added is still said when the lines are empty again."""
        if self.answered is None and not any(self.question_form.values().values()):
            return
        self.answered = None
        self.line("answer", "")
        if not self.at_work:
            wrong = self.question_form.wrong()
            self.say(wrong, wrong=bool(wrong))
        self.refresh_bindings()

    def _answer(self) -> None:
        missing = self.question_form.missing()
        if reason := self.question_form.wrong() or (f"{missing}: needed" if missing else ""):
            self.say(reason, wrong=True)
            return
        values = self.question_form.values()
        self.judge(CanWeRequest(values=values), lambda found: self._is_answered_for(values, found), "looking")

    def _is_answered_for(self, values: dict[str, str], found: CanWe) -> None:
        if values != self.question_form.values():
            return  # something else is asked by now
        self.answered = found
        self.draw_answer()
        self.refresh_bindings()

    async def _show_answer(self, found: CanWe) -> None:
        sheet = can_we_sheet(found, self.units)
        await self.app.push_screen(Pane(sheet.title, sheet, name="buyer_answer"))

    def draw_answer(self) -> None:
        """The answer in two lines."""
        if (found := self.answered) is not None:
            width = max(self.size.width - 2, 20)
            text = Text(fitted(plain(answer_words(found)), width), "bold")
            text.append(f"\n{fitted(plain(with_what(found, self.units)), width)}", "not bold")
            self.query_one("#answer", Static).update(text)
            self._drawn["answer"] = text.plain

    def _is_added(self, added: AddedJob) -> None:
        self.question_form.clear()
        self.line("answer", "; ".join(added.lines))
        self.is_added()
