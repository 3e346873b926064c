"""Note what is lost or broken; send pieces out to be reground, and take them in again."""

from __future__ import annotations

from broachplan.questions.acts import BrokenRequest, LostRequest, ReceiveRequest, SendRequest
from tui.bases.keeping import KeepingScreen
from tui.keep_fields import BROKEN, LOST, RECEIVE, SEND


class LostScreen(KeepingScreen):
    """A loan ends so, and who had the piece stays in its history."""

    NAME = "lost"
    REQUEST = LostRequest
    FIELDS = LOST
    EACH = ("tag", "note")
    TITLE = "LOST   tag, what is known of it, enter; then the next tag"


class BrokenScreen(KeepingScreen):
    """A loan ends so too; the piece is out of service."""

    NAME = "broken"
    REQUEST = BrokenRequest
    FIELDS = BROKEN
    EACH = ("tag", "note")
    TITLE = "BROKEN   tag, how it broke, enter; then the next tag"


class SendScreen(KeepingScreen):
    """To whom and until when are kept for the next tag."""

    NAME = "send"
    REQUEST = SendRequest
    FIELDS = SEND
    TITLE = "SEND OUT   tag, to whom, expected back, enter; then the next tag"


class ReceiveScreen(KeepingScreen):
    """What is back waits for its inspection."""

    NAME = "receive"
    REQUEST = ReceiveRequest
    FIELDS = RECEIVE
    TITLE = "RECEIVE   tag, enter; then the next tag"
