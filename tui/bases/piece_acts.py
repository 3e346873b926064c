"""Acts on one piece that screens share which show one or choose one."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual.binding import Binding, BindingType

from broachplan.questions.reads import ShowRequest
from tui.bases.asking import AttendingScreen
from tui.registry import screen

if TYPE_CHECKING:
    from broachplan.desks.attendant.show_piece import Shown

Result = TypeVar("Result")


class PieceActs(AttendingScreen[Result]):
    """Each opens its form with the piece at hand in it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f3", "hold", "hold", priority=True, id="acts.hold", tooltip="Hold this piece for named work, by the day"),
        Binding("f6", "inspect", "inspect", priority=True, id="acts.inspect", tooltip="Note what an inspection of this piece found; of a missing one, that it turned up"),
        Binding("f8", "book", "book cuts", show=False, priority=True, id="acts.book", tooltip="Book the cuts of this broach: hubs, passes, hub length"),
        Binding("ctrl+s", "regrind", "regrind", show=False, priority=True, id="acts.regrind", tooltip="Record a regrind of this broach, with the heights measured after it"),
    ]  # fmt: skip

    @property
    def is_missing(self) -> bool:
        """Whether the piece at hand is missing."""
        return False

    async def action_hold(self) -> None:
        """To the form of a hold."""
        await self.app.push_screen(screen("hold")(self.db, self.desks, self.at_hand, self.shop.by))

    async def action_inspect(self) -> None:
        """To the form of an inspection, or of what was found again."""
        form = "found" if self.is_missing else "inspect"
        await self.app.push_screen(screen(form)(self.db, self.desks, self.at_hand, self.shop.by))

    async def action_book(self) -> None:
        """To the form of what was cut."""
        await self.app.push_screen(screen("book")(self.db, self.desks, self.at_hand, self.shop.by))

    def action_regrind(self) -> None:
        """Read the broach, then to the form of a regrind."""
        if tag := self.at_hand:
            self.send(ShowRequest(tag=tag), then=self._to_grind)

    async def _to_grind(self, shown: Shown) -> None:
        await self.app.push_screen(screen("regrind")(self.db, self.desks, shown, self.units))
