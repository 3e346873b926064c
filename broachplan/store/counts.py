"""Counts of drawers: kept with their lines, read back, settled by entries, opened again when that is undone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import and_, bindparam, exists, func, insert, select, update

from broachplan.crib.counts import ComparedLine, Count, CountLine, Mismatch, what_changed
from broachplan.crib.entries import Act, Stamp
from broachplan.crib.homes import Drawer, Home, Placed, drawers_like, drawers_of
from broachplan.crib.words import checked_words
from broachplan.errors import CribStateError, InputError
from broachplan.store.kept import moment_kept, word_kept
from broachplan.store.last_action import last_action
from broachplan.store.records_read import in_lots
from broachplan.store.states import tags_like
from broachplan.store.stored_pieces import StoredPiece, stored_pieces
from broachplan.store.tables import ACTION, COUNT, COUNT_LINE, ENTRY, PIECE
from broachplan.store.transaction import Work

# Acts that a piece need not be in anybody's hand for.
NOT_PHYSICAL = (Act.HELD, Act.RELEASED)
# Looking for the tags most like one that nobody knows goes through all there are.
_MOST_NEAREST = 10
# The largest number that the column of a count's number holds on every database.
_LARGEST = 2**31 - 1


@dataclass(frozen=True, slots=True)
class Head:
    """A count without its lines: how many tags it has, and how many differ."""

    number: int
    drawer: Home
    at: datetime
    by: str
    settled: datetime | None
    tags: int
    differences: int


def drawers(work: Work) -> tuple[Drawer, ...]:
    """The drawers that pieces live in; retired ones do not count."""
    query = select(PIECE.c.home).where(PIECE.c.retired == 0).order_by(PIECE.c.id)
    return drawers_of(work.connection.scalars(query))


def homeless(work: Work) -> int:
    """How many pieces have no home that could be counted; retired ones do not count."""
    homes = work.connection.scalars(select(PIECE.c.home).where(PIECE.c.retired == 0))
    return sum(not Home.read(home) for home in homes)


def drawer_named(work: Work, text: str) -> Home:
    """The drawer that a text names, spelt as the homes in it are.

    Raises
    ------
    InputError : no piece lives in it; the message names those most like it.
    """
    wanted, known = Home.read(checked_words(text, "drawer")).drawer, drawers(work)
    for each in known:
        if each.home.key == wanted.key:
            return each.home
    like = ", ".join(drawers_like(wanted, known))
    near = f"the nearest: {like}" if like else "write one such as A/1, the first two parts of a home"
    raise InputError("drawer", near, read=text.strip(), fault=": no piece lives there")


def in_books(work: Work, drawer: Home, tags: Iterable[str]) -> list[StoredPiece]:
    """The pieces that live in a drawer or have one of the tags."""
    query = select(PIECE.c.tag, PIECE.c.home).where(PIECE.c.retired == 0, PIECE.c.home != "")
    living = {tag for tag, home in work.connection.execute(query) if Home.read(home).is_in(drawer)}
    return stored_pieces(work, sorted(living | set(tags)))


def placed(stored: StoredPiece) -> Placed:
    """A piece's row as the books have it."""
    return Placed(stored.status, stored.home, stored.set_name)


def keep(work: Work, drawer: Home, stamp: Stamp, lines: Sequence[CountLine]) -> Count:
    """Write a count; one that agrees with the books has nothing to settle. Its pieces' rows must be locked by now."""
    settled = None if any(line.mismatch for line in lines) else stamp.written
    row = {
        "home": str(drawer),
        "at": stamp.written,
        "by_name": stamp.by,
        "after_action": last_action(work),
        "settled_at": settled,
    }
    (number,) = work.connection.execute(insert(COUNT).values(row)).inserted_primary_key or (0,)
    rows = [
        {
            "count_id": number,
            "tag": line.tag,
            "expected": int(line.expected),
            "found": int(line.found),
            "difference": line.mismatch.value,
            "cause": line.cause,
        }
        for line in lines
    ]
    if rows:
        work.connection.execute(insert(COUNT_LINE), rows)
    return count_numbered(work, number)


def count_numbered(work: Work, number: int) -> Count:
    """The count of a number; on a database server it is kept from others until a writing transaction ends.

    Raises
    ------
    InputError : there is none; the message names the last one.
    """
    query = select(COUNT).where(COUNT.c.id == min(number, _LARGEST))
    row = work.connection.execute(query.with_for_update() if work.writes else query).one_or_none()
    if row is None:
        last = work.connection.scalar(select(func.max(COUNT.c.id)))
        there = f"the last is {last}" if last else "nothing was counted yet"
        raise InputError("count", there, shown=number, fault=", which there is not")
    found = select(COUNT_LINE).where(COUNT_LINE.c.count_id == number).order_by(COUNT_LINE.c.tag)
    lines = [
        CountLine(
            line.tag, bool(line.expected), bool(line.found), word_kept(Mismatch, line.difference), line.cause
        )
        for line in work.connection.execute(found)
    ]
    return Count(
        number,
        Home.read(row.home),
        moment_kept(row.at),
        row.by_name,
        tuple(sorted(lines, key=lambda line: line.tag)),
        moment_kept(row.settled_at) if row.settled_at else None,
        row.after_action or 0,
    )


def heads(work: Work) -> tuple[Head, ...]:
    """Every count, the latest first."""
    differing = func.count(COUNT_LINE.c.id).filter(COUNT_LINE.c.difference != "")
    query = (
        select(COUNT, func.count(COUNT_LINE.c.id), differing)
        .outerjoin(COUNT_LINE, COUNT_LINE.c.count_id == COUNT.c.id)
        .group_by(COUNT.c.id)
        .order_by(COUNT.c.id.desc())
    )
    return tuple(
        Head(
            row.id,
            Home.read(row.home),
            moment_kept(row.at),
            row.by_name,
            moment_kept(row.settled_at) if row.settled_at else None,
            *row[-2:],
        )
        for row in work.connection.execute(query)
    )


def touched_since(work: Work, count: Count, ids: Iterable[int]) -> set[int]:
    """Those of some pieces that anything was done to after a count, that was not undone since."""
    other = ACTION.alias()
    undone = exists().where(other.c.undoes == ACTION.c.id)
    query = select(ENTRY.c.piece_id).join(
        ACTION,
        and_(ACTION.c.id == ENTRY.c.action_id, ACTION.c.id > count.after_action, ACTION.c.undoes.is_(None)),
    )
    query = query.where(~undone, ENTRY.c.act.not_in([act.value for act in NOT_PHYSICAL]))
    return {
        id for lot in in_lots(ids) for id in work.connection.scalars(query.where(ENTRY.c.piece_id.in_(lot)))
    }


def seen(work: Work, count: Count) -> tuple[ComparedLine, ...]:
    """The lines of a count beside the books of now, and while the count is open, what changed since."""
    books = {stored.status.tag: stored for stored in stored_pieces(work, [line.tag for line in count.lines])}
    touched = touched_since(work, count, [stored.id for stored in books.values()])
    unknown = [line.tag for line in count.differences if line.tag not in books][:_MOST_NEAREST]
    found = []
    for line in count.lines:
        stored = books.get(line.tag)
        piece = placed(stored) if stored else None
        changed = ""
        if count.settled is None and line.mismatch and stored:
            changed = what_changed(line, count.drawer, piece, touched=stored.id in touched)
        nearest = tuple(tags_like(work, line.tag)) if line.tag in unknown else ()
        found.append(ComparedLine(line, piece, nearest, changed))
    return tuple(found)


def settle(work: Work, count: Count, causes: Mapping[str, str], stamp: Stamp, action: int | None) -> None:
    """Note the causes, and that a count is settled by an act, or by none where there was nothing to correct.

    Raises
    ------
    CribStateError : it is settled already.
    """
    if count.settled is not None:
        raise CribStateError(why_settled(count))
    values = {"settled_at": stamp.written, "action_id": action}
    work.connection.execute(update(COUNT).where(COUNT.c.id == count.number).values(values))
    causes_update = update(COUNT_LINE).where(
        COUNT_LINE.c.count_id == count.number, COUNT_LINE.c.tag == bindparam("of_tag")
    )
    if causes:
        rows = [{"of_tag": tag, "new_cause": cause} for tag, cause in causes.items()]
        work.connection.execute(causes_update.values(cause=bindparam("new_cause")), rows)


def why_settled(count: Count) -> str:
    """That a count is settled already, in one line."""
    if not count.differences:
        return f"count {count.number} of {count.drawer} agrees with the books; there is nothing to settle"
    return f"count {count.number} of {count.drawer} is settled already; count again if it differs now"


def reopen(work: Work, action: int) -> None:
    """Open the count again that an act settled, if it settled one: the act is undone."""
    numbers = work.connection.scalars(select(COUNT.c.id).where(COUNT.c.action_id == action)).all()
    if numbers:
        of_them = COUNT_LINE.c.count_id.in_(numbers)
        work.connection.execute(update(COUNT_LINE).where(of_them).values(cause=""))
        again: dict[str, Any] = {"settled_at": None, "action_id": None}
        work.connection.execute(update(COUNT).where(COUNT.c.id.in_(numbers)).values(again))
