"""Hold pieces and sets for named work by the day, and let them go."""

from __future__ import annotations

from collections.abc import Mapping

from tui.bases.keeping import KeepingScreen
from tui.keep_fields import HOLD, RELEASE
from tui.keeper import Holding
from tui.status_words import said


class HoldScreen(KeepingScreen):
    """The work and its days are kept for the next tag."""

    NAME = "hold"
    FIELDS = HOLD
    TITLE = "HOLD   tag, for what, from when, enter; then the next tag"

    def perform(self, values: Mapping[str, str], what: str, is_set: bool) -> str:
        """Hold it."""
        asked = _asked(values, what, is_set)
        return said(self.desks.keeper.hold(self.db, asked))


class ReleaseScreen(KeepingScreen):
    """Whatever it is held for."""

    NAME = "release"
    FIELDS = RELEASE
    TITLE = "RELEASE   tag, from when, until when, enter; then the next tag"

    def perform(self, values: Mapping[str, str], what: str, is_set: bool) -> str:
        """Let it go."""
        asked = _asked(values, what, is_set)
        return said(self.desks.keeper.release(self.db, asked))


def _asked(values: Mapping[str, str], what: str, is_set: bool) -> Holding:
    return Holding(what, is_set, values["first"], values["last"], values.get("for_what", ""), values["by"])
