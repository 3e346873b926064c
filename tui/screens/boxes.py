"""Put pieces into a marked box, take them out of one, and make two boxes one."""

from __future__ import annotations

from collections.abc import Mapping

from tui.bases.keeping import KeepingScreen
from tui.keep_fields import JOIN, SPLIT
from tui.keeper import Boxing
from tui.status_words import said


class JoinScreen(KeepingScreen):
    """The box is kept for the next tag; the name of another set puts all of it in."""

    NAME = "join"
    FIELDS = JOIN
    TITLE = "INTO A SET   tag or a whole set, the set it goes into, enter; then the next"

    def perform(self, values: Mapping[str, str], what: str, is_set: bool) -> str:
        """Put it in."""
        asked = Boxing(what, is_set, into=values["into"], by=values["by"])
        return said(self.desks.keeper.join(self.db, asked))


class SplitScreen(KeepingScreen):
    """The name of a set instead of a tag takes all of it out, and the set is no more."""

    NAME = "split"
    FIELDS = SPLIT
    TITLE = "OUT OF A SET   tag or the whole set, enter; then the next"

    def perform(self, values: Mapping[str, str], what: str, is_set: bool) -> str:
        """Take it out."""
        asked = Boxing(what, is_set, values["out_of"], values["into"], values["by"])
        return said(self.desks.keeper.split(self.db, asked))
