"""Note that missing pieces turned up outside a count."""

from __future__ import annotations

from collections.abc import Mapping

from tui.bases.keeping import KeepingScreen
from tui.keep_fields import FOUND
from tui.keeper import Finding
from tui.status_words import said


class FoundScreen(KeepingScreen):
    """The note tells where it was."""

    NAME = "found"
    FIELDS = FOUND
    EACH = ("tag", "note")
    TITLE = "FOUND   tag, where it was, enter; then the next tag"

    def perform(self, values: Mapping[str, str], what: str, is_set: bool) -> str:  # noqa: ARG002
        """Note it."""
        asked = Finding(what, note=values["note"], by=values["by"])
        return said(self.desks.keeper.found(self.db, asked))
