"""Hold pieces and sets for named work by the day, and release them."""

from __future__ import annotations

from broachplan.questions.acts import HoldRequest, ReleaseRequest
from tui.bases.keeping import KeepingScreen
from tui.keep_fields import HOLD, RELEASE


class HoldScreen(KeepingScreen):
    """The work and its days are kept for the next tag."""

    NAME = "hold"
    REQUEST = HoldRequest
    FIELDS = HOLD
    TITLE = "HOLD   tag, for what, from when, enter; then the next tag"


class ReleaseScreen(KeepingScreen):
    """Whatever it is held for."""

    NAME = "release"
    REQUEST = ReleaseRequest
    FIELDS = RELEASE
    TITLE = "RELEASE   tag, from when, until when, enter; then the next tag"
