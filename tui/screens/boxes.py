"""Put pieces into a set, take them out of one, and make two sets one."""

from __future__ import annotations

from collections.abc import Mapping

from broachplan.questions.acts import JoinRequest, SplitRequest
from tui.bases.keeping import KeepingScreen
from tui.keep_fields import JOIN, SPLIT


class JoinScreen(KeepingScreen):
    """The set is kept for the next tag; the name of another set puts all of it in."""

    NAME = "join"
    FIELDS = JOIN
    TITLE = "INTO A SET   tag or a whole set, the set it goes into, enter; then the next"

    def request(self, values: Mapping[str, str], what: str, is_set: bool) -> JoinRequest:
        """One piece, or all of another set."""
        tags, name = ((), what) if is_set else ((what,), "")
        return JoinRequest(into=values["into"], tags=tags, set_name=name, by=values["by"])


class SplitScreen(KeepingScreen):
    """The name of a set instead of a tag takes all of it out, and the set ends."""

    NAME = "split"
    FIELDS = SPLIT
    TITLE = "OUT OF A SET   tag or the whole set, enter; then the next"

    def request(self, values: Mapping[str, str], what: str, is_set: bool) -> SplitRequest:
        """One piece out of the set that is named, or all of a set."""
        tags, out_of = ((), what) if is_set else ((what,), values["out_of"])
        return SplitRequest(out_of=out_of, tags=tags, into=values["into"], by=values["by"])
