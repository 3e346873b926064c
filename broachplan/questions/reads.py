"""What is asked of the crib without changing it: one request for each list, and for whatever is shown."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from broachplan.questions import kinds
from broachplan.questions.line import line
from broachplan.tooling.figures import KIND_NAMES


def kind_line() -> Any:
    """Only pieces of one kind."""
    return line("Kind", kinds.KIND, KIND_NAMES)


def text_line(about: str = "Only those with it in tag, set, home or note.") -> Any:
    """Only pieces with a text in their words."""
    return line("Text", kinds.NOTE, about)


@dataclass(frozen=True, slots=True, kw_only=True)
class ListRequest:
    """The pieces that are not retired, by kind and then tag. ``on`` is the day whose holds count."""

    kind: str = kind_line()
    text: str = text_line()
    limit: int | None = line("Limit", kinds.PAGE, "Pieces on a page; else all.")
    page: int = line("Page", kinds.PAGE, "Which page to show.", default=1)
    on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ShowRequest:
    """One piece with all that is known of it. ``on`` is the day whose holds count, else today."""

    tag: str = line("Tag", kinds.TAG, "The tag of the piece.", needed=True, positional=True)
    on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FindRequest:
    """The pieces that meet all words and sizes. ``on`` is the day whose holds count."""

    words: tuple[str, ...] = line(
        "Text", kinds.NOTE, "Words and sizes; all must be met.", needed=True, positional=True, many=True
    )
    on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownRequest:
    """The words that the crib knows, to complete what is typed: tags, sets, homes, people. ``on`` is the day whose holds count."""

    on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingsRequest:
    """The shop's settings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawerRequest:
    """The drawer that a text names, as the books spell it, before anybody looks into it."""

    drawer: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftsRequest:
    """What was begun at this station and not finished."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckRequest:
    """Whether the crib's database is in order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TodayRequest:
    """Which day it is."""
