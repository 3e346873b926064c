"""Lend pieces and sets, one after the other, from anywhere."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from tui.attendant import Handing
from tui.desks import Desks
from tui.hand_fields import LEND
from tui.screens.hand import HandScreen
from tui.standing_words import due_day, lent_words

if TYPE_CHECKING:
    from broachplan.desks.attendant.list_known import Known


class LendScreen(HandScreen):
    """Name, due and job are kept for the next tag: scan, scan, scan."""

    FIELDS = LEND
    TITLE = "LEND   tag, name, enter; then the next tag"

    def __init__(self, db: str | None, desks: Desks, tag: str, by: str) -> None:
        super().__init__(db, desks, {"tag": tag, "by": by}, name="lend")

    def perform(self, values: Mapping[str, str], what: str, is_set: bool, known: Known) -> str:
        """Lend it."""
        asked = Handing(
            what,
            is_set,
            to=values["to"],
            due=due_day(values["due"], known.on),
            job=values["job"],
            by=values["by"],
        )
        return lent_words(self.attendant.lend(self.db, asked), what if is_set else "")
