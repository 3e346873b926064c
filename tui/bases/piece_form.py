"""What the forms of a new piece and of a changed one share: lines checked while they are typed, saved by one key."""

from __future__ import annotations

from abc import abstractmethod
from collections import deque
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual import on
from textual.await_complete import AwaitComplete
from textual.binding import Binding, BindingType

from broachplan.crib.jumps import JumpError
from broachplan.errors import StorageError
from broachplan.questions.acts import TakeOverRequest
from broachplan.questions.line import Line
from broachplan.questions.piece import whole_reason
from broachplan.questions.reads import KnownRequest
from broachplan.tooling.figures import Kind
from tui.bases.asking import Failed
from tui.bases.drafting import DRAFTS, DraftingScreen
from tui.bases.leaving import LeaveAnswer
from tui.plain import plain
from tui.registry import screen
from tui.status_words import offered
from tui.widgets.field_form import FieldForm

if TYPE_CHECKING:
    from broachplan.desks.attendant.list_known import Known

LABEL_WIDTH = 31
# What a refusal says to a command, and what a question says in its own way.
SAID_TO_A_COMMAND = "; measure again, or add that you are sure (--sure)"


class PieceForm(DraftingScreen[None]):
    """Nothing typed is lost: a save that is refused leaves every line as it is, and leaving asks first.

    What cannot be saved because the crib cannot be reached is kept at the station, and there again when the form is
    opened next. Keys typed during a save wait for its end, so that the next piece is typed into empty lines.
    """

    CSS_PATH = "../styles/piece_form.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "save", "save", priority=True, id="piece_form.save", tooltip="Save the piece as shown in the form"),
        Binding("f3", "how", "how to measure", priority=True, id="piece_form.how", tooltip="How to measure the figure of the line: where the anvils go"),
        Binding("enter", "next", "next line", priority=True, show=False, id="piece_form.next", tooltip="To the next line of the form"),
        Binding("escape", "leave", "back", priority=True, id="piece_form.leave", tooltip="Back without saving; asks where something was typed"),
    ]  # fmt: skip

    kind: Kind
    _saving = False
    # What was in the form when a line was shown about a save: it stays until something else is typed.
    _said_at: Mapping[str, str] | None = None

    def on_mount(self) -> None:
        """What may be typed is looked up while the first line is typed."""
        self.send(KnownRequest(), then=self._knows)
        drafts, name = self.shop.drafts, self.draft_name
        if drafts.waiting[name]:
            self._resume(tuple(drafts.waiting[name]))
        elif name not in drafts.taken_over:
            drafts.taken_over.add(name)
            self.send(TakeOverRequest(form=name, session=drafts.session), then=self._resume)

    @property
    def draft_name(self) -> str:
        """Under what is kept at the station what could not be saved."""
        return f"{self.name} {self.tag}"

    @property
    def saving(self) -> bool:
        """Whether a save is under way."""
        return self._saving

    @saving.setter
    def saving(self, saving: bool) -> None:
        if saving and not self._saving:
            self.shop.hold_keys()
        elif self._saving and not saving:
            self.shop.release_keys()
        self._saving = saving

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
        """What would be lost on leaving the program; what is kept at the station would not."""
        if self._kept_here and not self.shop.drafts.lost:
            return ""
        return f"The form of {self.tag or f'a new {self.kind}'}" if self.typed else ""

    @property
    def _kept_here(self) -> bool:
        """Whether the lines are kept at the station as they are."""
        return self.to_keep() in self.shop.drafts.waiting[self.draft_name]

    def to_keep(self) -> dict[str, str]:
        """What of the screen is kept at the station where it cannot be saved."""
        return self.values()

    @abstractmethod
    def save(self, *, sure: bool = False) -> None:
        """Ask the desk to keep what is in the form; all of it is valid. ``sure``: also figures that jump."""

    def values(self) -> dict[str, str]:
        """The text in every line of the screen."""
        return {name: text for form in self.query(FieldForm) for name, text in form.values().items()}

    def say_of_save(self, text: str, *, wrong: bool = False) -> None:
        """Say what came of a save, until something else is typed."""
        if self.saving and wrong:
            # What was typed ahead is meant for the next piece: in lines that stay as they are it would do something else.
            self.shop.release_keys(drop=True)
            self._saving = False
        elif self.saving:
            self.forget()
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
        if not self.typed or not self.unsaved:
            self.dismiss(None)
            return
        asked = screen("leave")("Leave without saving?", f"{self.unsaved} is not saved.", saves=True)
        await self.app.push_screen(asked, self._leave)

    def _knows(self, known: Known) -> None:
        people = tuple(dict.fromkeys((*known.attendants, *known.people)))
        words = {"set": known.sets, "home": known.homes, "measured_by": people, "by": known.attendants}
        for form in self.query(FieldForm):
            form.know(words)

    def forget(self) -> None:
        """What was kept at the station is saved, or not wanted."""
        if self.shop.drafts.waiting[self.draft_name]:
            self._keep()

    def fill_in(self, values: Mapping[str, str]) -> None:
        """Put texts into the lines of the screen."""
        for form in self.query(FieldForm):
            form.fill({line.name: values[line.name] for line in form.fields if line.name in values})

    def dismiss(self, result: None = None) -> AwaitComplete:
        """Leave; keys typed during a save go to the screen beneath."""
        self.saving = False
        return super().dismiss(result)

    def _keep(self, *rows: Mapping[str, str]) -> None:
        drafts, name = self.shop.drafts, self.draft_name
        drafts.waiting[name] = deque(map(dict, rows))
        self.keep_draft(lambda keep: drafts.keep_waiting(name, keep))

    def _resume(self, left: Sequence[Mapping[str, str]]) -> None:
        if left and not (self.typed and not self.shop.drafts.waiting[self.draft_name]):
            *_, last = left
            self.fill_in(last)
            self._keep(*left)
            # Once the lines are there: those of another kind come with the next drawing.
            words = "NOT SAVED before, kept at this station: F2 saves it"
            self.call_after_refresh(self.say_of_save, words, wrong=True)

    @on(Failed)
    async def _has_failed(self, event: Failed) -> None:
        if event.group == DRAFTS:
            self.say(event.line, wrong=True)
        elif isinstance(event.error, StorageError) and self.saving:
            self._keep(self.to_keep())
            self.say_of_save(f"NOT SAVED, kept at this station: {event.line}; F2 saves it", wrong=True)
        else:
            self.say_of_save(event.line, wrong=True)
            if isinstance(event.error, JumpError):
                await self._ask_whether_sure(event.error)

    async def _ask_whether_sure(self, error: JumpError) -> None:
        """A figure that jumps is asked about while the piece can still be measured again."""
        words = "\n\n".join(line.replace(SAID_TO_A_COMMAND, "") for line in error.lines)
        text = Text(plain(f"{words}.\n\nF2 takes the figures as typed, escape goes back to measure again."))

        def answered(answer: dict[str, str] | None) -> None:
            if answer is not None:
                self.saving = True
                self.say("saving ...")
                self.save(sure=True)

        await self.app.push_screen(screen("confirm")("Measured right?", text, None), answered)

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
            self.forget()
            self.dismiss(None)
