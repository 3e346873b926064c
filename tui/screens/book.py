"""Book what broaches have cut without returning them."""

from __future__ import annotations

from collections.abc import Mapping

from broachplan.questions.acts import BookRequest
from tui.bases.keeping import KeepingScreen
from tui.hand_fields import with_cuts
from tui.keep_fields import BOOK


class BookScreen(KeepingScreen):
    """A cut is one pass through one hub."""

    NAME = "book"
    REQUEST = BookRequest
    FIELDS = BOOK
    EACH = ("tag", "has_cut", "note")
    TITLE = "BOOK CUTS   tag of the broach, its cuts, enter; then the next tag"

    def request(self, values: Mapping[str, str], what: str, is_set: bool) -> object:
        """With what it has cut."""
        return super().request(with_cuts(values), what, is_set)
