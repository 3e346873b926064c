"""The days of the week on which a shop works."""

from __future__ import annotations

import re
from dataclasses import dataclass

from broachplan.errors import InputError

_NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_LEAST_LETTERS = 3
_LONGEST = 100


@dataclass(frozen=True, slots=True)
class WorkDays:
    """Days of the week by their numbers, 0 for Monday; one at least. As text: ``Monday to Friday``."""

    days: frozenset[int] = frozenset(range(5))

    def __str__(self) -> str:
        ordered = sorted(self.days)
        if len(ordered) > 2 and ordered[-1] - ordered[0] == len(ordered) - 1:
            return f"{_NAMES[ordered[0]]} to {_NAMES[ordered[-1]]}"
        return ", ".join(_NAMES[day] for day in ordered)


def read_work_days(text: str) -> WorkDays:
    """Days with commas between them, single or from one to another: ``Monday to Friday``, ``Mon, Wed, Fri``.

    Raises
    ------
    InputError : it names no days.
    """
    plain = re.sub(r"\s*(?:\bto\b|-)\s*", "-", text[:_LONGEST].strip().lower())
    days: set[int] = set()
    for part in filter(None, re.split(r"[,\s]+", plain)):
        first, *more = (_number(name, text) for name in part.split("-"))
        if len(more) > 1:
            raise _wrong(text)
        last = more[0] if more else first
        days |= {(first + ahead) % 7 for ahead in range((last - first) % 7 + 1)}
    if not days:
        raise _wrong(text)
    return WorkDays(frozenset(days))


def _number(name: str, text: str) -> int:
    for number, full in enumerate(_NAMES):
        if len(name) >= _LEAST_LETTERS and full.lower().startswith(name):
            return number
    raise _wrong(text)


def _wrong(text: str) -> InputError:
    return InputError(
        "work_days", "write the days, for example Monday to Friday, or Mon, Tue, Thu", read=text
    )
