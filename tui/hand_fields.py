"""The lines that are typed in when something is lent, taken back, retired or undone, and how they are checked."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING

from tui.fields import Field

if TYPE_CHECKING:
    from broachplan.crib.wear import Booking

_CUT = re.compile(r"(\d{1,6}) *[x×] *(\d{1,6}) *[x×] *(.+)", re.ASCII | re.IGNORECASE)

TAG = Field("tag", "Tag or set", "(scan or type)", needed=True)
TO = Field("to", "To", "(any name)", needed=True)
DUE = Field("due", "Due", "(as 2031-05-28, or +7 days)")
JOB = Field("job", "Job", "(its number)")
CONDITION = Field(
    "condition",
    "Condition",
    needed=True,
    choices=(("", "not inspected yet"), ("fit", "fit"), ("worn", "worn"), ("unfit", "unfit")),
)
HAS_CUT = Field("has_cut", "Has cut", "(hubs x passes x length: 4 x 3 x 1 in)")
NOTE = Field("note", "Note", "(for the history)")
BY = Field("by", "By", "(who is at the desk; kept until you leave)")
LEND = (TAG, TO, DUE, JOB, BY)
TAKE_BACK = (TAG, CONDITION, HAS_CUT, NOTE, BY)


def reason_against(field: Field, text: str, _: Mapping[str, str]) -> str:
    """Why ``text`` will not do in this line; empty where it will."""
    from broachplan.crib.words import LONGEST_NAME, checked_day, checked_words
    from broachplan.errors import InputError
    from tui.standing_words import is_days_on

    try:
        if field.name == "due":
            if not is_days_on(text):
                checked_day(text, "due")
        elif field.name == "has_cut":
            read_cut(text)
        elif not field.choices:
            limit = {} if field.name == "note" else {"most": LONGEST_NAME}
            checked_words(text, field.label.lower(), **limit)
    except InputError as error:
        return str(error)
    return ""


def read_cut(text: str) -> Booking:
    """What a broach has cut, as hubs x passes x hub length.

    Raises
    ------
    InputError : it is not told so.
    """
    from broachplan.crib.wear import checked_booking
    from broachplan.errors import InputError, quoted
    from broachplan.lengths import parse_length

    found = _CUT.fullmatch(text.strip())
    if found is None:
        right = "write hubs x passes x hub length, for example 4 x 3 x 1 in"
        raise InputError(f"has cut: read {quoted(text)}; {right}")
    return checked_booking(int(found[1]), int(found[2]), parse_length(found[3], "hub length"))
