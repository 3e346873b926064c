"""Hold pieces for named work by the day, and let them go."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from broachplan.crib.holds import Hold, days_between, why_not_hold
from broachplan.crib.spans import in_doubt
from broachplan.crib.words import checked_name, read_day
from broachplan.desks.attendant.clock import day, stamped
from broachplan.desks.attendant.named import named_pieces
from broachplan.errors import AskedFirst, CribStateError, InputError
from broachplan.questions.acts import HoldRequest, ReleaseRequest
from broachplan.questions.reads import HoldsRequest
from broachplan.store.entries import record
from broachplan.store.holds import held_days, holds_from
from broachplan.store.holds import hold as keep
from broachplan.store.holds import release as let_go
from broachplan.store.job_holds import check_not_held_by_job
from broachplan.store.settings_store import load_settings
from broachplan.store.stored_pieces import StoredPiece
from broachplan.store.transaction import Work
from broachplan.store.work import reading, writing

__all__ = ["Held", "Hold", "hold", "list_holds", "release"]


@dataclass(frozen=True, slots=True)
class Held:
    """The tags held or released, for what, on which days; what was so already is not among them.

    ``what`` is the tag or the set that was asked for; ``released``: it was a release and not a hold.
    """

    tags: tuple[str, ...]
    for_what: str
    days: tuple[date, ...]
    what: str
    released: bool = False

    @property
    def lines(self) -> tuple[str, ...]:
        """What is held or free now, for what, on which days."""
        days = _spoken(self.days)
        if not self.tags:
            return (f"{self.what} is held {days} for {self.for_what} already",)
        tags = ", ".join(self.tags)
        if self.released:
            return (f"{tags} released {days}, held for {self.for_what} until now",)
        return (f"{tags} held {days} for {self.for_what}",)


def hold(db: str | None, request: HoldRequest, *, at: datetime | None = None) -> Held:
    """Keep a piece, or all pieces of a set or none, for some work: plans for other work and other loans pass it by.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`. Days may be counted from then.

    Raises
    ------
    InputError : an unknown tag or set, a name or a day that cannot be, over `MOST_DAYS` at once.
    CribStateError : a piece is retired, or held on one of the days for other work; one line says which.
    AskedFirst : a piece is out on one of the days for other work, missing or not fit, and nobody said ``anyway``.
    StorageError : the database cannot be used.
    """
    stamp, for_what = stamped(request.by, at), checked_name(request.for_what, "for")
    days = _days(request.first, request.last, stamp.day)
    with writing(db) as work:
        pieces = named_pieces(work, request.tag, request.set_name)
        free = [_free_days(work, stored, days, for_what) for stored in pieces]
        if not request.anyway:
            _check_there(
                work,
                [stored for stored, rest in zip(pieces, free, strict=True) if rest],
                days,
                for_what,
                stamp.day,
            )
        lines = [
            keep(work, stored, rest, for_what) for stored, rest in zip(pieces, free, strict=True) if rest
        ]
        record(work, stamp, lines)
        work.commit()
    tags = tuple(stored.status.tag for stored, rest in zip(pieces, free, strict=True) if rest)
    return Held(tags, for_what, days, request.set_name.strip() or pieces[0].status.tag)


def release(db: str | None, request: ReleaseRequest, *, at: datetime | None = None) -> Held:
    """Free a piece, or the pieces of a set, on a day or on days, whatever it is held for; see `hold`.

    Raises
    ------
    CribStateError : it is not held on any of the days, or a started job holds it.
    """
    stamp = stamped(request.by, at)
    days = _days(request.first, request.last, stamp.day)
    with writing(db) as work:
        pieces = named_pieces(work, request.tag, request.set_name)
        what = request.set_name.strip() or pieces[0].status.tag
        held = [(stored, held_days(work, stored.id, days)) for stored in pieces]
        held = [(stored, its) for stored, its in held if its]
        if not held:
            raise CribStateError(f"{what} is not held {_spoken(days)}")
        for stored, its in held:
            check_not_held_by_job(work, stored, its)
        record(work, stamp, [let_go(work, stored, its) for stored, its in held])
        work.commit()
    work_held = sorted({for_what for _, its in held for for_what in its.values()})
    freed = tuple(sorted({each for _, its in held for each in its}))
    return Held(
        tuple(stored.status.tag for stored, _ in held), ", ".join(work_held), freed, what, released=True
    )


def list_holds(db: str | None, request: HoldsRequest) -> tuple[Hold, ...]:
    """Every hold from a day on, else from today, by its first day and then by tag.

    Raises
    ------
    StorageError : the database cannot be used.
    """
    with reading(db) as work:
        return holds_from(work, day(read_day(request.first, "from")))


def _free_days(work: Work, stored: StoredPiece, days: tuple[date, ...], for_what: str) -> tuple[date, ...]:
    tag = stored.status.tag
    if stored.status.retired:
        raise CribStateError(f"{tag} is retired")
    held = held_days(work, stored.id, days)
    if why := why_not_hold(tag, held, days, for_what):
        raise CribStateError(why)
    return tuple(each for each in days if each not in held)


def _check_there(
    work: Work, pieces: Sequence[StoredPiece], days: tuple[date, ...], for_what: str, today: date
) -> None:
    """Raise `AskedFirst` where a piece may not be there on the days for which it is to be held."""
    length = load_settings(work).loan_days
    reasons = [why for stored in pieces for why in in_doubt(stored.status, days, for_what, today, length)]
    if reasons:
        raise AskedFirst("; ".join(reasons))


def _days(first: str, last: str, today: date) -> tuple[date, ...]:
    start = read_day(first, "day", today=today)
    if start is None:
        raise InputError("day", "nothing was written; write a day such as 2031-05-28")
    return days_between(start, read_day(last, "until", today=today))


def _spoken(days: tuple[date, ...]) -> str:
    return f"on {days[0]}" if len(days) == 1 else f"from {days[0]} to {days[-1]}"
