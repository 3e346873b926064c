"""Pieces held for some work by the day. That a piece is held once a day is held by the database's unique index."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from sqlalchemy import delete, insert, select
from sqlalchemy.exc import IntegrityError

from broachplan.crib.entries import Act, Change, held_on
from broachplan.crib.holds import Hold, joined
from broachplan.errors import CribStateError
from broachplan.store.entries import ActLine
from broachplan.store.kept import day_kept, word_kept
from broachplan.store.stored_pieces import StoredPiece
from broachplan.store.tables import HOLD, PIECE
from broachplan.store.transaction import Work
from broachplan.tooling.figures import Kind


def held_days(work: Work, piece_id: int, days: Iterable[date]) -> dict[date, str]:
    """What a piece is held for on those of the days on which it is held."""
    asked = sorted(days)
    query = select(HOLD.c.day, HOLD.c.for_what).where(
        HOLD.c.piece_id == piece_id, HOLD.c.day.between(asked[0].isoformat(), asked[-1].isoformat())
    )
    return {day_kept(day): for_what for day, for_what in work.connection.execute(query)}


def hold(work: Work, stored: StoredPiece, days: Iterable[date], for_what: str) -> ActLine:
    """Hold a piece on days on which it is not held; the entry of it.

    Raises
    ------
    CribStateError : somebody else held it first.
    """
    rows = [{"piece_id": stored.id, "day": day.isoformat(), "for_what": for_what} for day in days]
    try:
        with work.connection.begin_nested():
            work.connection.execute(insert(HOLD), rows)
    except IntegrityError as error:
        raise CribStateError(f"{stored.status.tag} was held for other work just now; look again") from error
    return ActLine(stored.id, Act.HELD, tuple(Change(held_on(day), None, for_what) for day in days))


def release(work: Work, stored: StoredPiece, held: Mapping[date, str]) -> ActLine:
    """Release a piece on days on which it is held; the entry of it."""
    days = [day.isoformat() for day in held]
    work.connection.execute(delete(HOLD).where(HOLD.c.piece_id == stored.id, HOLD.c.day.in_(days)))
    changes = (Change(held_on(day), for_what, None) for day, for_what in held.items())
    return ActLine(stored.id, Act.RELEASED, tuple(changes))


def holds_from(work: Work, first: date, piece_id: int | None = None) -> tuple[Hold, ...]:
    """Every hold from a day on, of pieces that are not retired, by its first day and then by tag."""
    query = (
        select(PIECE.c.tag, PIECE.c.kind, HOLD.c.day, HOLD.c.for_what)
        .join(HOLD, HOLD.c.piece_id == PIECE.c.id)
        .where(HOLD.c.day >= first.isoformat(), PIECE.c.retired == 0)
    )
    if piece_id is not None:
        query = query.where(PIECE.c.id == piece_id)
    days: dict[tuple[str, Kind], dict[date, str]] = defaultdict(dict)
    for tag, kind, day, for_what in work.connection.execute(query):
        days[tag, word_kept(Kind, kind)][day_kept(day)] = for_what
    found = [each for (tag, kind), held in days.items() for each in joined(held, tag, kind)]
    return tuple(sorted(found, key=lambda each: (each.first, each.tag)))


def holds_on(work: Work, days: Sequence[date]) -> dict[str, dict[date, str]]:
    """What pieces are held for from the first to the last of some days in order, by tag and day; none on no days."""
    if not days:
        return {}
    within = HOLD.c.day.between(days[0].isoformat(), days[-1].isoformat())
    query = select(PIECE.c.tag, HOLD.c.day, HOLD.c.for_what).join(HOLD, HOLD.c.piece_id == PIECE.c.id)
    found: dict[str, dict[date, str]] = defaultdict(dict)
    for tag, day, for_what in work.connection.execute(query.where(within)):
        found[tag][day_kept(day)] = for_what
    return found


def held_within(work: Work, stored: StoredPiece, first: date, last: date | None) -> dict[date, str]:
    """What a piece is held for from one day to another, or on any day from the first."""
    query = select(HOLD.c.day, HOLD.c.for_what).where(
        HOLD.c.piece_id == stored.id, HOLD.c.day >= first.isoformat()
    )
    if last is not None:
        query = query.where(HOLD.c.day <= last.isoformat())
    return {day_kept(day): for_what for day, for_what in work.connection.execute(query)}


def set_hold(work: Work, piece_id: int, day: str, for_what: str | None) -> None:
    """Hold a piece on a day, for other work than before, or with None for none."""
    work.connection.execute(delete(HOLD).where(HOLD.c.piece_id == piece_id, HOLD.c.day == day))
    if for_what is not None:
        work.connection.execute(insert(HOLD).values(piece_id=piece_id, day=day, for_what=for_what))
