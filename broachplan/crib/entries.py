"""The history of a piece: what was done to it, when, by whom, and what changed.

An entry holds only differences. The state of a piece on an earlier day is its present state with the entries since then
taken back one by one, so that pieces which were in the crib before there was a history need no entry of their own.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from enum import StrEnum

Value = int | str | None
RETIRED = "retired"
TAG = "tag"
LENT_TO = "lent_to"
SINCE = "since"
DUE = "due"
JOB = "job"
SENT = "sent"
LACKED = "lacked"
# What describes an open loan; all are without a value where there is none.
OF_LOAN = (LENT_TO, SINCE, DUE, JOB, SENT, LACKED)
MISSING_SINCE = "missing_since"
# What describes wear. Sums that are nothing, and days that are not known, have no value.
OF_WEAR = (
    "cuts",
    "cut_length",
    "ground_cuts",
    "ground_length",
    "inspected_cuts",
    "inspected_length",
    "ground_on",
    "inspected_on",
)
# What an act's name and day say already: a history in words does not repeat it.
IN_ITS_ACT = (*OF_LOAN, RETIRED, TAG, *OF_WEAR[2:])
HELD = "held "
_LENGTH = len("2031-05-28T09:30:00Z")


def held_on(day: date) -> str:
    """The name of a hold on a day: each day that a piece is held is a thing of its own."""
    return f"{HELD}{day.isoformat()}"


def day_held(name: str) -> date | None:
    """The day of a hold by its name; None where the name is of something else.

    Raises
    ------
    ValueError : it is a hold's name with no day in it.
    """
    return date.fromisoformat(name.removeprefix(HELD)) if name.startswith(HELD) else None


class Act(StrEnum):
    """What was done to a piece."""

    RECEIVED = "received"
    CHANGED = "changed"
    INSPECTED = "inspected"
    LENT = "lent"
    RETURNED = "returned"
    RETIRED = "retired"
    UNDONE = "undone"
    HELD = "held"
    RELEASED = "released"
    BOOKED = "booked"
    REGROUND = "reground"
    COUNTED = "counted"
    LOST = "lost"
    BROKEN = "broken"
    SENT = "sent"
    BACK = "back"


@dataclass(frozen=True, slots=True)
class Stamp:
    """When something was done, in any zone, by whom, and at which station; empty where nobody said."""

    at: datetime
    by: str = ""
    station: str = ""

    @property
    def day(self) -> date:
        """The day on the clock of the person who did it."""
        return self.at.date()

    @property
    def written(self) -> str:
        """The moment as it is kept: to the second, in universal time."""
        return self.at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def moment(text: str) -> datetime:
    """The moment that `Stamp.written` keeps.

    Raises
    ------
    ValueError : it is none in that form.
    """
    # By far quicker than asking for each part of the form, and a long history has many moments.
    if len(text) != _LENGTH or not text.endswith("Z"):
        raise ValueError(f"{text} is no moment such as 2031-05-28T09:30:00Z")
    return datetime.fromisoformat(text)


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that changed: a column's name, and its value before and after."""

    name: str
    old: Value
    new: Value


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of a piece's history; ``at`` is in universal time, ``number`` that of the action it is part of."""

    act: Act
    at: datetime
    by: str = ""
    note: str = ""
    changes: tuple[Change, ...] = ()
    number: int = field(default=0, compare=False)

    def ended(self, name: str) -> str:
        """What ended with it, by the name of a word of a loan: who had the piece, for which job; empty where nothing did."""
        return next(
            (str(each.old) for each in self.changes if each.name == name and each.old and not each.new), ""
        )


def changes_between(before: Mapping[str, Value], after: Mapping[str, Value]) -> tuple[Change, ...]:
    """What is different, in the order of ``after``; a name that one of them lacks has no value there."""
    return tuple(
        Change(name, before.get(name), new) for name, new in after.items() if before.get(name) != new
    )


def written(changes: Iterable[Change]) -> str:
    """Changes as they are kept."""
    kept = {change.name: [change.old, change.new] for change in changes}
    return json.dumps(kept, ensure_ascii=False, separators=(",", ":"))


def read(text: str) -> tuple[Change, ...]:
    """Changes as `written` keeps them.

    Raises
    ------
    ValueError : it is not in the form of `written`.
    """
    try:
        kept = json.loads(text)
    except RecursionError as error:
        raise ValueError("it nests too deeply") from error
    if not isinstance(kept, dict):
        raise ValueError("changes must be an object of names")
    changes = []
    for name, pair in kept.items():
        if not isinstance(pair, list) or len(pair) != 2 or not all(map(_is_value, pair)):
            raise ValueError(f"{name} does not have two values")
        changes.append(Change(name, *pair))
    return tuple(changes)


def _is_value(value: object) -> bool:
    return value is None or (isinstance(value, int | str) and not isinstance(value, bool))


def taken_back(values: Mapping[str, Value], changes: Iterable[Change]) -> dict[str, Value]:
    """What the values were before some changes.

    Raises
    ------
    ValueError : a change does not lead to the value; its text has the name.
    """
    before = dict(values)
    for change in changes:
        if before.get(change.name) != change.new:
            raise ValueError(change.name)
        before[change.name] = change.old
    return before


def inverse(changes: Iterable[Change]) -> tuple[Change, ...]:
    """The changes that take these back."""
    return tuple(Change(change.name, change.new, change.old) for change in changes)
