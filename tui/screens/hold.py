"""Hold pieces and sets for named work by the day, and let them go."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from tui.keep_fields import HOLD, RELEASE
from tui.keep_words import held_words, released_words
from tui.keeper import Holding
from tui.screens.keeping import KeepingScreen
from tui.standing_words import due_day

if TYPE_CHECKING:
    from broachplan.desks.attendant.list_known import Known


class HoldScreen(KeepingScreen):
    """The work and its days are kept for the next tag."""

    NAME = "hold"
    FIELDS = HOLD
    TITLE = "HOLD   tag, for what, from when, enter; then the next tag"

    def perform(self, values: Mapping[str, str], what: str, is_set: bool, known: Known) -> str:
        """Hold it."""
        asked = _asked(values, what, is_set, known)
        return held_words(self.desks.keeper.hold(self.db, asked), what)


class ReleaseScreen(KeepingScreen):
    """Whatever it is held for."""

    NAME = "release"
    FIELDS = RELEASE
    TITLE = "RELEASE   tag, from when, until when, enter; then the next tag"

    def perform(self, values: Mapping[str, str], what: str, is_set: bool, known: Known) -> str:
        """Let it go."""
        asked = _asked(values, what, is_set, known)
        return released_words(self.desks.keeper.release(self.db, asked))


def _asked(values: Mapping[str, str], what: str, is_set: bool, known: Known) -> Holding:
    first, last = (due_day(values[name], known.on) for name in ("first", "last"))
    return Holding(what, is_set, first, last, values.get("for_what", ""), values["by"])
