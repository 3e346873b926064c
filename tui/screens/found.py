"""Note that missing pieces turned up outside a count."""

from __future__ import annotations

from broachplan.questions.acts import FoundRequest
from tui.bases.keeping import KeepingScreen
from tui.keep_fields import FOUND


class FoundScreen(KeepingScreen):
    """The note says where it was."""

    NAME = "found"
    REQUEST = FoundRequest
    FIELDS = FOUND
    EACH = ("tag", "note")
    TITLE = "FOUND   tag, where it was, enter; then the next tag"
