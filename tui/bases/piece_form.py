"""What the forms of a new piece and of a changed one share: lines checked while they are typed, saved by one key."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Mapping
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import Binding, BindingType

from broachplan.questions.line import Line
from broachplan.questions.piece import whole_reason
from broachplan.questions.reads import KnownRequest
from broachplan.tooling.figures import Kind
from tui.bases.asking import AskingScreen, Failed
from tui.bases.leaving import LeaveAnswer
from tui.registry import screen
from tui.status_words import offered
from tui.widgets.field_form import FieldForm

if TYPE_CHECKING:
    from broachplan.desks.attendant.list_known import Known

LABEL_WIDTH = 31


class PieceForm(AskingScreen[None]):
    """Nothing typed is lost: a save that is refused leaves every line as it is, and leaving asks first."""

    CSS_PATH = "../styles/piece_form.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "save", "save", priority=True, id="piece_form.save", tooltip="Save the piece as shown in the form"),
        Binding("f3", "how", "how to measure", priority=True, id="piece_form.how", tooltip="How to measure the figure of the line: where the anvils go"),
        Binding("enter", "next", "next line", priority=True, show=False, id="piece_form.next", tooltip="To the next line of the form"),
        Binding("escape", "leave", "back", priority=True, id="piece_form.leave", tooltip="Back without saving; asks where something was typed"),
    ]  # fmt: skip

    kind: Kind
    saving = False
    # What was in the form when a line was shown about a save: it stays until something else is typed.
    _said_at: Mapping[str, str] | None = None

    def on_mount(self) -> None:
        """What may be typed is looked up while the first line is typed."""
        self.send(KnownRequest(), then=self._knows)

    @property
    def form(self) -> FieldForm:
        """The form of the figures and words."""
        return self.query_one("#piece-form", FieldForm)

    @property
    @abstractmethod
    def tag(self) -> str:
        """The tag of the piece."""

    @property
    @abstractmethod
    def typed(self) -> bool:
        """Whether something was typed that is not saved."""

    @property
    def unsaved(self) -> str:
        """What would be lost on leaving the program."""
        return f"The form of {self.tag or f'a new {self.kind}'}" if self.typed else ""

    @abstractmethod
    def save(self) -> None:
        """Ask the desk to keep what is in the form; all of it is valid."""

    def values(self) -> dict[str, str]:
        """The text in every line of the screen."""
        return {name: text for form in self.query(FieldForm) for name, text in form.values().items()}

    def say_of_save(self, text: str, *, wrong: bool = False) -> None:
        """Say what came of a save, until something else is typed."""
        self.saving = False
        self._said_at = self.values()
        self.say(text, wrong=wrong)

    def reason(self, line: Line, text: str, values: Mapping[str, str]) -> str:
        """Why a text will not do in a line."""
        return line.reason_against(text, values)

    def first_reason(self) -> str:
        """Why the form cannot be saved as it is; empty where it can be."""
        for form in self.query(FieldForm):
            if reasons := form.reasons():
                return next(iter(reasons.values()))
        return whole_reason(self.kind, self.tag, self.form.values())

    async def action_save(self) -> None:
        """Save, unless a line will not do."""
        await self.keys_taken()
        if self.saving or not self.query("#piece-form"):
            return
        if reason := self.first_reason():
            self.say_of_save(reason, wrong=True)
            return
        self.saving = True
        self.say("saving ...")
        self.save()

    async def action_next(self) -> None:
        """To the next line."""
        await self.keys_taken()
        self.query(FieldForm).first().action_move(1)

    async def action_how(self) -> None:
        """How to take the figure of the line with the cursor."""
        from tui.how_to_measure import how_pane

        await self.keys_taken()
        here = self.focused.id if self.focused else None
        lines = [line for form in self.query(FieldForm) for line in form.fields]
        await self.app.push_screen(
            how_pane(
                next((line for line in lines if line.name == here), lines[0]),
                self.kind,
                blocks=self.shop.blocks,
            )
        )

    async def action_leave(self) -> None:
        """Back; what was typed is not dropped without a question."""
        await self.keys_taken()
        if self.saving:
            return
        if not self.typed:
            self.dismiss(None)
            return
        asked = screen("leave")("Leave without saving?", f"{self.unsaved} is not saved.", saves=True)
        await self.app.push_screen(asked, self._leave)

    def _knows(self, known: Known) -> None:
        people = tuple(dict.fromkeys((*known.attendants, *known.people)))
        words = {"set": known.sets, "home": known.homes, "measured_by": people, "by": known.attendants}
        for form in self.query(FieldForm):
            form.know(words)

    @on(Failed)
    def _has_failed(self, event: Failed) -> None:
        self.say_of_save(event.line, wrong=True)

    @on(FieldForm.TextChanged)
    def _changed(self, event: FieldForm.TextChanged) -> None:
        if self.saving or self.values() == self._said_at:
            return
        self._said_at = None
        reason = event.form.wrong()
        if not reason and not any(form.reasons() for form in self.query(FieldForm)):
            reason = whole_reason(self.kind, self.tag, self.form.values())
        offers = event.form.offers()
        self.say(reason or offered(offers), wrong=bool(reason))

    async def _leave(self, answer: LeaveAnswer | None) -> None:
        if answer is LeaveAnswer.SAVE:
            await self.action_save()
        elif answer:
            self.dismiss(None)
