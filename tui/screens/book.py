"""Book what broaches have cut, apart from their return."""

from __future__ import annotations

from collections.abc import Mapping

from tui.bases.keeping import KeepingScreen
from tui.keep_fields import BOOK
from tui.keeper import Finding
from tui.status_words import said


class BookScreen(KeepingScreen):
    """A cut is one pass through one hub."""

    NAME = "book"
    FIELDS = BOOK
    EACH = ("tag", "has_cut", "note")
    TITLE = "BOOK CUTS   tag of the broach, what it has cut, enter; then the next tag"

    def perform(self, values: Mapping[str, str], what: str, is_set: bool) -> str:  # noqa: ARG002
        """Book it."""
        from broachplan.crib.wear import read_cuts

        asked = Finding(what, note=values["note"], by=values["by"])
        return said(self.desks.keeper.book(self.db, asked, read_cuts(values["has_cut"])))
