"""Lend pieces and sets, one after the other, from anywhere."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from textual.screen import Screen

from broachplan.questions.acts import LendRequest
from broachplan.questions.line import Line as Field
from tui.bases.hand import HandScreen
from tui.desks import Desks
from tui.hand_fields import LEND
from tui.status_words import tags_of


class LendScreen(HandScreen):
    """Name, due and job are kept for the next tag: scan, scan, scan. A list of tags, as that of a plan, is lent at once."""

    SEVERAL = True
    REQUEST = LendRequest
    FIELDS = LEND
    TITLE = "LEND   tag, name, enter; then the next tag"

    def __init__(self, db: str | None, desks: Desks, tag: str, by: str) -> None:
        super().__init__(db, desks, {"tag": tag, "by": by}, name="lend")

    @classmethod
    def begins_with(cls, here: Screen[Any]) -> str:
        """As for every such form; over a plan, all of its pieces that are fetched."""
        if isinstance(here, HandScreen):
            return here.tag
        return getattr(here, "to_fetch", "") or super().begins_with(here)

    def reason(self, field: Field, text: str, values: Mapping[str, str]) -> str:
        """Why a text will not do in a line; of a list, against the first that will not."""
        texts = tags_of(text, self.known) if field.name == "tag" else (text,)
        return next(filter(None, (super(LendScreen, self).reason(field, each, values) for each in texts)), "")
