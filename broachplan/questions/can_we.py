"""Can we do it? What is asked while the customer waits on the phone."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from broachplan.questions import kinds
from broachplan.questions.jobs import LINES
from broachplan.questions.line import chosen, line, several

# Label and hint in a short line.
_SHORT = {
    "bore": ("bore", "as 1-1/8 in"),
    "key": ("key", "the table's"),
    "hub_length": ("length", "as 1 in"),
    "material": ("material", "not named"),
    "quantity": ("qty", "1"),
    "due": ("by", "the first free day"),
}
# What is asked of the hub, how many, and by when.
ASKED = tuple(
    replace(
        each,
        label=_SHORT[each.name][0],
        hint=_SHORT[each.name][1],
        needed=each.name in ("bore", "hub_length"),
    )
    for each in chosen(LINES, *_SHORT)
)


@dataclass(frozen=True, slots=True, kw_only=True)
class CanWeRequest:
    """Whether a job that is not in the list could be cut by a day: with what, from when, and what is missing."""

    values: Mapping[str, str] = several(ASKED)
    on: str = line("On", kinds.DAY, "The day it is asked on; else today.", what="day")
