"""Note what inspections of pieces in the crib found, one after the other."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from broachplan.questions.line import Line as Field
from tui.desks import Desks
from tui.keep_fields import INSPECT
from tui.keeper import Finding
from tui.screens.hand import HandScreen
from tui.screens.take_back import TakeBackScreen
from tui.standing_words import said


class InspectScreen(TakeBackScreen):
    """As when a piece is taken back, with the same keys; what is out is inspected when it comes back."""

    FIELDS: ClassVar[tuple[Field, ...]] = INSPECT
    EACH: ClassVar[tuple[str, ...]] = ("tag", "condition", "note")
    TITLE = "INSPECT   tag, F2 fit, F3 worn or F4 unfit, enter; then the next tag"

    def __init__(self, db: str | None, desks: Desks, tag: str, by: str) -> None:
        HandScreen.__init__(self, db, desks, {"tag": tag, "by": by}, name="inspect")

    def perform(self, values: Mapping[str, str], what: str, is_set: bool) -> str:  # noqa: ARG002
        """Note it."""
        asked = Finding(what, values["condition"], values["note"], values["by"])
        return said(self.desks.keeper.inspect(self.db, asked))
