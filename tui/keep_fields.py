"""The lines typed in when something is held, inspected, booked, found, or goes into another box."""

from __future__ import annotations

from dataclasses import replace

from broachplan.questions.acts import (
    CUTS_LINE,
    BookRequest,
    BrokenRequest,
    FoundRequest,
    HoldRequest,
    InspectRequest,
    JoinRequest,
    LostRequest,
    ReceiveRequest,
    ReleaseRequest,
    SendRequest,
    SplitRequest,
)
from broachplan.questions.line import chosen, lines_of, without
from tui.hand_fields import LEND

# One line takes a tag or the name of a set.
(_TAG_OR_SET,) = chosen(LEND, "tag")
HOLD = without(lines_of(HoldRequest), "set_name")
RELEASE = without(lines_of(ReleaseRequest), "set_name")
INSPECT = lines_of(InspectRequest)
BOOK = chosen((*lines_of(BookRequest), replace(CUTS_LINE, needed=True)), "tag", CUTS_LINE.name, "note", "by")
FOUND = lines_of(FoundRequest)
LOST, BROKEN = lines_of(LostRequest), lines_of(BrokenRequest)
SEND, RECEIVE = lines_of(SendRequest), lines_of(ReceiveRequest)
JOIN = (_TAG_OR_SET, *without(lines_of(JoinRequest), "tags", "set_name"))
# A whole set needs no box that it comes from.
SPLIT = (
    _TAG_OR_SET,
    *(replace(each, needed=False) for each in without(lines_of(SplitRequest), "tags")),
)
