"""The lines typed in when something is held, inspected, booked, found, or goes into another box; how they are checked."""

from __future__ import annotations

from collections.abc import Mapping

from tui.fields import Field
from tui.hand_fields import BY, CONDITION, HAS_CUT, NOTE, TAG
from tui.hand_fields import reason_against as reason_of_hand

ONE_TAG = Field("tag", "Tag", "(scan or type)", needed=True)
FOR = Field("for_what", "For", "(a job's number, or what the work is)", needed=True)
FIRST = Field("first", "From", "(as 2031-05-28; +0 is today, +7 in a week)", needed=True)
LAST = Field("last", "Until", "(that day alone)")
CUT = Field("has_cut", "Has cut", HAS_CUT.hint, needed=True)
INTO = Field("into", "Into set", "(a set's name; a new one makes a set)", needed=True)
OUT_OF = Field("out_of", "Out of set", "(its name)")
INTO_OTHER = Field("into", "Into set", "(none; or another one's name)")
HOLD = (TAG, FOR, FIRST, LAST, BY)
RELEASE = (TAG, FIRST, LAST, BY)
INSPECT = (ONE_TAG, CONDITION, NOTE, BY)
BOOK = (ONE_TAG, CUT, NOTE, BY)
FOUND = (ONE_TAG, NOTE, BY)
JOIN = (TAG, INTO, BY)
SPLIT = (TAG, OUT_OF, INTO_OTHER, BY)
_DAYS = ("first", "last")


def reason_against(field: Field, text: str, values: Mapping[str, str]) -> str:
    """Why ``text`` will not do in this line; empty where it will."""
    if field.name in _DAYS:
        return _reason_of_day(text, field.label.lower())
    return reason_of_hand(field, text, values)


def _reason_of_day(text: str, what: str) -> str:
    from broachplan.crib.words import checked_day
    from broachplan.errors import InputError
    from tui.standing_words import is_days_on

    try:
        if not is_days_on(text):
            checked_day(text, what)
    except InputError as error:
        return str(error)
    return ""
