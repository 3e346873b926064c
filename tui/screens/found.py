"""Note that missing pieces turned up outside a count."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from tui.keep_fields import FOUND
from tui.keep_words import found_words
from tui.keeper import Finding
from tui.screens.keeping import KeepingScreen

if TYPE_CHECKING:
    from broachplan.desks.attendant.list_known import Known


class FoundScreen(KeepingScreen):
    """The note tells where it was."""

    NAME = "found"
    FIELDS = FOUND
    EACH = ("tag", "note")
    TITLE = "FOUND   tag, where it was, enter; then the next tag"

    def perform(self, values: Mapping[str, str], what: str, is_set: bool, known: Known) -> str:  # noqa: ARG002
        """Note it."""
        asked = Finding(what, note=values["note"], by=values["by"])
        return found_words(self.desks.keeper.found(self.db, asked))
