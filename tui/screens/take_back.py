"""Take pieces and sets back and inspect them, one after the other, from anywhere."""

from __future__ import annotations

from asyncio import to_thread
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, ClassVar, cast

from textual.binding import Binding, BindingType

from broachplan.errors import BroachplanError
from broachplan.questions.acts import InspectRequest, ReturnRequest
from broachplan.questions.line import Line as Field
from broachplan.questions.reads import KnownRequest
from tui.bases.hand import HandScreen
from tui.desks import Desks
from tui.hand_fields import TAKE_BACK, with_cuts
from tui.keep_fields import INSPECT
from tui.registry import screen
from tui.status_words import recognised
from tui.widgets.choice import Choice

if TYPE_CHECKING:
    from broachplan.desks.attendant.list_known import Known


class TakeBackScreen(HandScreen):
    """Every piece is inspected by itself: its condition and its note are not kept for the next."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "fit", "fit: done", priority=True, id="back.fit", tooltip="The inspection found it fit for use: with a tag in its line it is done at once"),
        Binding("f3", "found('worn')", "worn", priority=True, id="back.worn", tooltip="The inspection found it worn"),
        Binding("f4", "found('unfit')", "out of service", priority=True, id="back.unfit", tooltip="The inspection found it out of service"),
        Binding("f7", "found('uninspected')", "inspect later", priority=True, id="back.later", tooltip="Nobody looked at it yet: it is on no plan, and on the list of what to inspect"),
    ]  # fmt: skip
    NAME: ClassVar[str] = "return"
    REQUEST: ClassVar[type] = ReturnRequest
    FIELDS: ClassVar[tuple[Field, ...]] = TAKE_BACK
    EACH: ClassVar[tuple[str, ...]] = ("tag", "condition", "has_cut", "note")
    TITLE = "RETURN   tag, F2 fit for use; F3 worn or F4 out of service, enter; then the next tag"

    def __init__(self, db: str | None, desks: Desks, tag: str, by: str) -> None:
        super().__init__(db, desks, {"tag": tag, "by": by}, name=self.NAME)

    def request(self, values: Mapping[str, str], what: str, is_set: bool) -> object:
        """With what it has cut, where that was typed."""
        return super().request(with_cuts(values), what, is_set)

    async def take(self, several: Iterable[dict[str, str]]) -> None:
        """A set comes back by its list."""
        (values,) = several
        what, is_set = await self._recognised(values["tag"])
        if not is_set or self.REQUEST is not ReturnRequest:
            await super().take([values])
            return

        async def listed(answer: dict[str, str] | None) -> None:
            if answer is not None:
                await HandScreen.take(self, [{**values, **answer}])

        await self.app.push_screen(screen("set_list")(self.db, self.desks, what), listed)

    async def _recognised(self, typed: str) -> tuple[str, bool]:
        """As `recognised`; typed quicker than the crib was first read, it waits for that: a set must not pass as a tag."""
        try:
            asked = None if self.known else await to_thread(self.desks.send, self.db, KnownRequest())
        except BroachplanError:
            return typed, False
        return recognised(typed, self.known or cast("Known", asked))

    async def action_fit(self) -> None:
        """It is fit: all is known, so it is done. What is worn waits for enter, for a note says what is worn."""
        self.action_found("fit")
        await self.action_enter()

    def action_found(self, condition: str) -> None:
        """Note what the inspection found."""
        line = self.form.line("condition")
        assert isinstance(line, Choice)
        line.value = condition


class InspectScreen(TakeBackScreen):
    """As when a piece is taken back, with the same keys; what is out is inspected when it comes back."""

    NAME = "inspect"
    REQUEST = InspectRequest
    FIELDS: ClassVar[tuple[Field, ...]] = INSPECT
    EACH: ClassVar[tuple[str, ...]] = ("tag", "condition", "note")
    TITLE = "INSPECT   tag, F2 fit for use; F3 worn or F4 out of service, enter; then the next tag"

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """What is looked at now is not put off."""
        return parameters != ("uninspected",) and super().check_action(action, parameters)
