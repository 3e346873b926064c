"""Hold pieces for named work by the day, and let them go."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from broachplan.crib.entries import Stamp
from broachplan.crib.holds import Hold, days_between, why_not_hold
from broachplan.crib.words import checked_day, checked_name
from broachplan.desks.attendant.clock import day, stamped
from broachplan.errors import CribStateError, InputError
from broachplan.store.entries import record
from broachplan.store.holds import held_days, hold, holds_from, release
from broachplan.store.standings import Stood, in_set, standing_of
from broachplan.store.transaction import Work
from broachplan.store.work import reading, writing

__all__ = ["Held", "Hold", "hold_piece", "hold_set", "list_holds", "release_piece", "release_set"]


@dataclass(frozen=True, slots=True)
class Held:
    """The tags held or let go, for what, on which days; what was so already is not among them."""

    tags: tuple[str, ...]
    for_what: str
    days: tuple[date, ...]


def hold_piece(
    db: str | None,
    tag: str,
    for_what: str,
    on: str,
    *,
    until: str = "",
    by: str = "",
    at: datetime | None = None,
) -> Held:
    """Hold the piece with a tag for some work, so that plans for other days only and loans for other work pass it by.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    for_what : the work, for example a job's number.
    on, until : the first day and, where there are more, the last, as 2031-05-28; `MOST_DAYS` at once.
    by, at : who holds it, and when; see `stamped`.

    Raises
    ------
    InputError : an unknown tag, a name or a day that cannot be.
    CribStateError : it is retired, or held on one of the days for other work; one line says which.
    StorageError : the database cannot be used.
    """
    return _hold(db, "", tag, for_what, on, until, stamped(by, at))


def hold_set(
    db: str | None,
    name: str,
    for_what: str,
    on: str,
    *,
    until: str = "",
    by: str = "",
    at: datetime | None = None,
) -> Held:
    """Hold every piece of a set or, where one of them cannot be held, none; see `hold_piece`."""
    return _hold(db, name, "", for_what, on, until, stamped(by, at))


def release_piece(
    db: str | None, tag: str, on: str, *, until: str = "", by: str = "", at: datetime | None = None
) -> Held:
    """Hold the piece with a tag no more on a day, or on days, whatever it is held for; see `hold_piece`.

    Raises
    ------
    CribStateError : it is not held on any of the days.
    """
    return _release(db, "", tag, on, until, stamped(by, at))


def release_set(
    db: str | None, name: str, on: str, *, until: str = "", by: str = "", at: datetime | None = None
) -> Held:
    """Hold the pieces of a set no more; see `release_piece`."""
    return _release(db, name, "", on, until, stamped(by, at))


def list_holds(db: str | None, first: date | None = None) -> tuple[Hold, ...]:
    """Every hold from a day on, else from today, by its first day and then by tag.

    Raises
    ------
    StorageError : the database cannot be used.
    """
    with reading(db) as work:
        return holds_from(work, day(first))


def _hold(db: str | None, name: str, tag: str, for_what: str, on: str, until: str, stamp: Stamp) -> Held:
    for_what = checked_name(for_what, "for")
    days = _days(on, until)
    with writing(db) as work:
        pieces = _asked(work, name, tag)
        free = [_free_days(work, stood, days, for_what) for stood in pieces]
        lines = [hold(work, stood, rest, for_what) for stood, rest in zip(pieces, free, strict=True) if rest]
        record(work, stamp, lines)
        work.commit()
    tags = tuple(stood.standing.tag for stood, rest in zip(pieces, free, strict=True) if rest)
    return Held(tags, for_what, days)


def _release(db: str | None, name: str, tag: str, on: str, until: str, stamp: Stamp) -> Held:
    days = _days(on, until)
    with writing(db) as work:
        pieces = _asked(work, name, tag)
        held = [(stood, held_days(work, stood.id, days)) for stood in pieces]
        held = [(stood, its) for stood, its in held if its]
        if not held:
            raise CribStateError(f"{name.strip() or pieces[0].standing.tag} is not held {_spoken(days)}")
        record(work, stamp, [release(work, stood, its) for stood, its in held])
        work.commit()
    what = sorted({for_what for _, its in held for for_what in its.values()})
    let_go = sorted({each for _, its in held for each in its})
    return Held(tuple(stood.standing.tag for stood, _ in held), ", ".join(what), tuple(let_go))


def _asked(work: Work, name: str, tag: str) -> Sequence[Stood]:
    return in_set(work, name) if name else [standing_of(work, tag)]


def _free_days(work: Work, stood: Stood, days: tuple[date, ...], for_what: str) -> tuple[date, ...]:
    tag = stood.standing.tag
    if stood.standing.retired:
        raise CribStateError(f"{tag} is retired")
    held = held_days(work, stood.id, days)
    if why := why_not_hold(tag, held, days, for_what):
        raise CribStateError(why)
    return tuple(each for each in days if each not in held)


def _days(on: str, until: str) -> tuple[date, ...]:
    first = checked_day(on, "day")
    if first is None:
        raise InputError("day: nothing was written; write a day such as 2031-05-28")
    return days_between(first, checked_day(until, "until"))


def _spoken(days: tuple[date, ...]) -> str:
    return f"on {days[0]}" if len(days) == 1 else f"from {days[0]} to {days[-1]}"
