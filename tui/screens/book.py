"""Book what broaches have cut, apart from their return."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from tui.hand_fields import read_cut
from tui.keep_fields import BOOK
from tui.keep_words import booked_words
from tui.keeper import Finding
from tui.screens.keeping import KeepingScreen

if TYPE_CHECKING:
    from broachplan.desks.attendant.list_known import Known


class BookScreen(KeepingScreen):
    """A cut is one pass through one hub."""

    NAME = "book"
    FIELDS = BOOK
    EACH = ("tag", "has_cut", "note")
    TITLE = "BOOK CUTS   tag of the broach, what it has cut, enter; then the next tag"

    def perform(self, values: Mapping[str, str], what: str, is_set: bool, known: Known) -> str:  # noqa: ARG002
        """Book it."""
        asked = Finding(what, note=values["note"], by=values["by"])
        return booked_words(self.desks.keeper.book(self.db, asked, read_cut(values["has_cut"])))
