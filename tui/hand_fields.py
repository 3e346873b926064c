"""The lines that are typed in when something is lent, taken back, retired or undone."""

from __future__ import annotations

from collections.abc import Mapping

from broachplan.questions.acts import CUTS_LINE, LendRequest, ReturnRequest
from broachplan.questions.line import chosen, lines_of

_LEND, _RETURN = lines_of(LendRequest), lines_of(ReturnRequest)
LEND = chosen(_LEND, "tag", "to", "due", "job", "by")
TAKE_BACK = chosen((*_RETURN, CUTS_LINE), "tag", "condition", CUTS_LINE.name, "note", "by")
NOTE, BY = chosen(_RETURN, "note", "by")


def with_cuts(values: Mapping[str, str]) -> dict[str, str]:
    """The lines of a form with what its one line for cuts holds in place of that: hubs, passes and hub length."""
    from broachplan.crib.wear import read_cuts

    typed = values.get(CUTS_LINE.name, "")
    return {**values, **(read_cuts(typed) if typed else {})}
