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


def _day_line(about: str) -> Any:
    return line("On", kinds.DAY, about)


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
class OutRequest:
    """What is out, or of it what ``to`` has. ``on`` is the day that decides what is overdue, else today."""

    to: str = line("To", kinds.NAME, "Only what that person has, however the name is typed.")
    on: str = _day_line("The day that decides what is overdue; else today.")


@dataclass(frozen=True, slots=True, kw_only=True)
class SetsRequest:
    """The sets and what each lacks."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MissingRequest:
    """What the counts did not find."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ToInspectRequest:
    """What is back and not yet inspected."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldsRequest:
    """What is held from a day on, else from today."""

    first: str = line(
        "From", kinds.DAY, "Holds from this day on; else from today.", option="--from", what="from"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class DueRequest:
    """What the broaches have cut, and which are due on a day, else today."""

    on: str = _day_line("The day that decides what is due; else today.")


@dataclass(frozen=True, slots=True, kw_only=True)
class StockRequest:
    """What was in the crib at the end of a day, else today up to now."""

    on: str = _day_line("The day, for example 2031-05-28; else today.")
    kind: str = kind_line()
    text: str = text_line("Only those that had it in tag, set, home or note.")


@dataclass(frozen=True, slots=True, kw_only=True)
class CountsRequest:
    """The counts and the drawers."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OneCountRequest:
    """One count with all its lines."""

    number: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ActionsRequest:
    """The last actions on the crib, at most ``most``."""

    most: int = line("Last", kinds.PAGE, "How many of the last acts.", option="--last", default=100)


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
