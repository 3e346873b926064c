"""Words that a person types: names, homes, notes. Refused where they hold what no screen shows."""

from __future__ import annotations

import re
from datetime import date, timedelta

from broachplan.characters import first_unseen
from broachplan.crib.records import FOUND, Condition
from broachplan.errors import InputError, quoted
from broachplan.lengths import Length, parse_length
from broachplan.tooling.tags import LONGEST_TAG

LONGEST_NAME = 100
LONGEST_WORDS = 200
_DAY = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
_DAYS_AHEAD = re.compile(r"\+ ?(?P<days>\d{1,3})(?: ?days?)?", re.ASCII | re.IGNORECASE)


def hidden(text: str) -> str:
    """What is wrong with the characters of a text; empty where nothing is."""
    found = first_unseen(text)
    return f"read {quoted(text)}; the character U+{ord(found):04X} must not be in it" if found else ""


def checked_words(text: str, what: str, most: int = LONGEST_WORDS) -> str:
    """``text`` without spaces around it.

    Raises
    ------
    InputError : it is longer than ``most``, or holds a character that does not show; ``what`` it is begins the line.
    """
    text = text.strip()
    if wrong := hidden(text):
        raise InputError(what, wrong)
    if len(text) > most:
        raise InputError(what, f"at most {most} characters", read=text)
    return text


def checked_name(text: str, what: str) -> str:
    """A person's name, free text of 1 to 100 characters; see `checked_words`."""
    name = checked_words(text, what, LONGEST_NAME)
    if not name:
        raise InputError(what, "write a name, for example Kim", read=text)
    return name


def read_within(text: str, what: str) -> Length | None:
    """How well something was measured: a length to either side, with or without its plus-minus; None where empty.

    Raises
    ------
    InputError : it is no length above zero.
    """
    bare = text.strip()
    for sign in ("±", "+/-", "+-"):
        bare = bare.removeprefix(sign).lstrip()
    return parse_length(bare, what) if text.strip() else None


def read_day(text: str, what: str, *, today: date | None = None) -> date | None:
    """A day written as 2031-05-28; None where nothing is written.

    With ``today`` it may be counted from there: ``+7``, ``+7 days``, ``+0`` for the day itself.

    Raises
    ------
    InputError : it is no day in that form, or not one of the calendar.
    """
    text = text.strip()
    ahead = _DAYS_AHEAD.fullmatch(text) if today else None
    try:
        if today and ahead:
            return today + timedelta(days=int(ahead["days"]))
        if text and not _DAY.fullmatch(text):
            raise ValueError
        return date.fromisoformat(text) if text else None
    except (ValueError, OverflowError):
        also = ", or +7 for a week from now" if today else ""
        raise InputError(what, f"write a day such as 2031-05-28{also}", read=text) from None


def read_condition(text: str, *, inspected: bool = True) -> Condition:
    """What an inspection found, by its word; of what need not be ``inspected``, that it was not too.

    Raises
    ------
    InputError : it is none.
    """
    word = text.strip().lower()
    for each in FOUND if inspected else Condition:
        if each.value == word:
            return each
    later = "" if inspected else f", or {Condition.UNINSPECTED}"
    raise InputError("condition", f"write fit, worn or unfit{later}", read=text)


def read_tag_list(text: str, what: str) -> tuple[str, ...]:
    """The tags of a list with commas, each once; none where nothing is typed.

    Raises
    ------
    InputError : nothing but commas, or a tag that cannot be.
    """
    tags = tuple(
        dict.fromkeys(checked_words(tag, what, LONGEST_TAG) for tag in text.split(",") if tag.strip())
    )
    if text.strip() and not tags:
        raise InputError(what, "write tags with commas between them, such as S-1,S-2", read=text)
    return tags
