"""Pieces and their status: who has them, their condition, and what they are held for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Select, and_, null, select

from broachplan.crib.loans import Loan, PieceStatus
from broachplan.crib.records import Condition
from broachplan.errors import InputError, StorageError
from broachplan.store.given_back import undone_with_tag
from broachplan.store.records_read import in_lots
from broachplan.store.states import tags_like
from broachplan.store.tables import HOLD, LOAN, PIECE
from broachplan.store.transaction import Work
from broachplan.tooling.figures import Kind

# What `loan_kept` takes.
LOAN_COLUMNS = tuple(LOAN.c[name] for name in ("to_name", "since", "due", "job", "sent", "lacked"))


@dataclass(frozen=True, slots=True)
class StoredPiece:
    """What an act needs to know of a piece; ``version`` counts the changes of the piece."""

    id: int
    version: int
    set_name: str
    home: str
    status: PieceStatus


def stored_piece(work: Work, tag: str, on: date | None = None) -> StoredPiece:
    """The piece with a tag; ``on`` is the day whose holds count.

    On a database server the piece's row is kept from others until a writing transaction ends.

    Raises
    ------
    InputError : no piece bears the tag; the message names those most like it.
    """
    tag = tag.strip()
    (found,) = stored_pieces(work, [tag], on) or (None,)
    if found is None:
        raise unknown(work, tag)
    return found


def unknown(work: Work, tag: str) -> InputError:
    """The refusal of a tag that no piece bears."""
    like = ", ".join(tags_like(work, tag))
    near = f"the nearest: {like}" if like else "`broachplan crib list` shows those there are"
    if undone_with_tag(work, tag):
        near = f"its addition was undone, so the tag is free; {near}"
    return InputError("tag", near, read=tag, fault=": no such tag")


def stored_pieces(work: Work, tags: Iterable[str], on: date | None = None) -> list[StoredPiece]:
    """The pieces with one of the tags, by tag."""
    query = _query(on).with_for_update(of=PIECE) if work.writes else _query(on)
    found = [
        _stored(row)
        for lot in in_lots(tags)
        for row in work.connection.execute(query.where(PIECE.c.tag.in_(lot)).order_by(PIECE.c.id)).all()
    ]
    return sorted(found, key=lambda stored: stored.status.tag)


def in_set(work: Work, name: str, on: date | None = None) -> list[StoredPiece]:
    """The pieces of a set by tag, without retired ones.

    Raises
    ------
    InputError : there is no such set.
    """
    name = name.strip()
    tags = select(PIECE.c.tag).where(PIECE.c.set_name == name, PIECE.c.retired == 0)
    found = stored_pieces(work, work.connection.scalars(tags).all(), on) if name else []
    if not found:
        raise InputError(
            "set",
            "`broachplan crib sets` shows those there are",
            read=name,
            fault=": no such set",
        )
    return found


def lent_out(work: Work) -> list[StoredPiece]:
    """Every piece that is out, by tag."""
    rows = work.connection.execute(_query(None).where(LOAN.c.id.is_not(None))).all()
    return sorted(map(_stored, rows), key=lambda stored: stored.status.tag)


def missing(work: Work) -> list[StoredPiece]:
    """Every piece that a count did not find, by tag, without retired ones."""
    query = _query(None).where(PIECE.c.missing_since.is_not(None), PIECE.c.retired == 0)
    return sorted(map(_stored, work.connection.execute(query)), key=lambda stored: stored.status.tag)


def to_inspect(work: Work) -> list[StoredPiece]:
    """Every piece that is back and not yet inspected, by tag, without retired ones and those that are out or missing."""
    waits = (PIECE.c.condition == Condition.UNINSPECTED.value) & (PIECE.c.retired == 0)
    here = LOAN.c.id.is_(None) & PIECE.c.missing_since.is_(None)
    rows = work.connection.execute(_query(None).where(waits, here))
    return sorted(map(_stored, rows), key=lambda stored: stored.status.tag)


def with_a_set(work: Work) -> list[StoredPiece]:
    """Every piece that belongs to a set, without retired ones."""
    query = _query(None).where(PIECE.c.set_name != "", PIECE.c.retired == 0)
    return [_stored(row) for row in work.connection.execute(query).all()]


def in_use(work: Work, on: date | None = None) -> list[StoredPiece]:
    """Every piece that is not retired, by tag; ``on`` is the day whose holds count."""
    rows = work.connection.execute(_query(on).where(PIECE.c.retired == 0)).all()
    return sorted(map(_stored, rows), key=lambda stored: stored.status.tag)


def _query(on: date | None) -> Select[Any]:
    tables = PIECE.outerjoin(LOAN, and_(LOAN.c.piece_id == PIECE.c.id, LOAN.c.returned.is_(None)))
    held_for: Any = null()
    if on is not None:
        tables = tables.outerjoin(HOLD, and_(HOLD.c.piece_id == PIECE.c.id, HOLD.c.day == on.isoformat()))
        held_for = HOLD.c.for_what
    piece = (PIECE.c.id, PIECE.c.version, PIECE.c.set_name, PIECE.c.home, PIECE.c.tag, PIECE.c.kind)
    state = (PIECE.c.condition, PIECE.c.retired, PIECE.c.missing_since, held_for)
    return select(*piece, *state, *LOAN_COLUMNS).select_from(tables)


def _stored(row: Any) -> StoredPiece:
    id, version, set_name, home, tag, kind, condition, retired, missing, held_for, *lent = row
    loan = loan_kept(tag, *lent) if lent[0] is not None else None
    try:
        status = PieceStatus(
            tag,
            Kind(kind),
            Condition(condition),
            bool(retired),
            loan,
            held_for or "",
            date.fromisoformat(missing) if missing else None,
        )
    except ValueError as error:
        raise StorageError(f"the crib holds a loan or a day that cannot be, of {tag}: {error}") from error
    return StoredPiece(id, version, set_name, home, status)


def loan_kept(tag: str, to: str, since: str, due: str | None, job: str, sent: int, lacked: str) -> Loan:
    """The loan of one row.

    Raises
    ------
    StorageError : a day in it cannot be.
    """
    try:
        until = date.fromisoformat(due) if due else None
        return Loan(to, date.fromisoformat(since), until, job, bool(sent), lacked)
    except ValueError as error:
        raise StorageError(f"the crib holds a loan or a day that cannot be, of {tag}: {error}") from error
