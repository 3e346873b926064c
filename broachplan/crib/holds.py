"""Pieces held for named work by the day: one work a piece and day."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from broachplan.errors import InputError
from broachplan.tooling.figures import Kind

# An entry lists every day of a hold, and has its own limit.
MOST_DAYS = 60


@dataclass(frozen=True, slots=True)
class Hold:
    """A piece held for some work from one day to another, both among them."""

    tag: str
    kind: Kind
    for_what: str
    first: date
    last: date


def days_between(first: date, last: date | None) -> tuple[date, ...]:
    """Every day from ``first`` to ``last``, or the first alone.

    Raises
    ------
    InputError : the last is before the first, or too far after it.
    """
    last = last or first
    if last < first:
        raise InputError(
            "until", "write a later day", shown=f"{last}, which is before {first}, the first day"
        )
    if (last - first).days >= MOST_DAYS:
        raise InputError("until", f"at most {MOST_DAYS} days are held at once, from {first}", shown=last)
    return tuple(first + timedelta(days=number) for number in range((last - first).days + 1))


def why_not_hold(tag: str, held: Mapping[date, str], days: tuple[date, ...], for_what: str) -> str:
    """Why a piece cannot be held for some work on some days, given what it is held for; empty where it can be."""
    for day in days:
        other = held.get(day)
        if other and not same_work(other, for_what):
            return f"{tag} is held on {day} for {other}"
    return ""


def same_work(held_for: str, asked: str) -> bool:
    """Whether the work that a piece is held for is the one asked about: by its number, or by the word and its number."""
    return bool(asked.strip()) and work_key(held_for) == work_key(asked)


def work_key(named: str) -> str:
    """What is the same for all ways of naming one work: in any case of letters, with the word job before it or without."""
    return named.strip().casefold().removeprefix("job ").strip()


def joined(days: Mapping[date, str], tag: str, kind: Kind) -> tuple[Hold, ...]:
    """The holds of one piece in order; days in a row for the same work are one hold."""
    return tuple(Hold(tag, kind, *run) for run in runs(days))


def runs(days: Mapping[date, str]) -> tuple[tuple[str, date, date], ...]:
    """The work, first and last day of each run of days that follow each other for one work, in their order."""
    found: list[tuple[str, date, date]] = []
    for day in sorted(days):
        if found and found[-1][0] == days[day] and found[-1][2] + timedelta(days=1) == day:
            found[-1] = (days[day], found[-1][1], day)
        else:
            found.append((days[day], day, day))
    return tuple(found)
