"""Pieces with the state they are in, and the words for why one is off the shelf."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from typing import Any

from sqlalchemy import ColumnElement, FromClause, Select, and_, null, select

from broachplan.crib.loans import lent_words, state_words, why_off
from broachplan.crib.records import Record
from broachplan.store.kept import word_kept
from broachplan.store.records_read import in_lots, record_columns, record_tables
from broachplan.store.tables import HOLD, LOAN, PIECE
from broachplan.store.transaction import Work
from broachplan.store.translate import Translator
from broachplan.tooling.figures import Kind
from broachplan.tooling.tags import LONGEST_TAG


@dataclass(frozen=True, slots=True)
class CribPiece:
    """A piece as the crib keeps it. ``off`` says why it is off the shelf; empty where it is on it."""

    record: Record
    retired: bool
    off: str

    @property
    def state(self) -> str:
        """The state in words: ``fit``, ``lent to Kim since 2031-05-02; worn``."""
        return state_words((self.off,) if self.off else (), retired=self.retired)


def with_state(tables: FromClause, on: date | None) -> tuple[FromClause, tuple[ColumnElement[Any], ...]]:
    """``tables``, the pieces' among them, joined to open loans and the day's holds; the columns that `crib.loans.why_off` asks for.

    Both joins give a row at most, by their unique indexes.
    """
    tables = tables.outerjoin(LOAN, and_(LOAN.c.piece_id == PIECE.c.id, LOAN.c.returned.is_(None)))
    held_for: ColumnElement[Any] = null()
    if on is not None:
        tables = tables.outerjoin(HOLD, and_(HOLD.c.piece_id == PIECE.c.id, HOLD.c.day == on.isoformat()))
        held_for = HOLD.c.for_what
    return tables, (
        PIECE.c.condition,
        PIECE.c.missing_since,
        LOAN.c.to_name,
        LOAN.c.since,
        LOAN.c.sent,
        held_for,
    )


def pieces_of_kind(work: Work, kind: Kind, on: date | None = None) -> list[CribPiece]:
    """All pieces of a kind that are not retired, by tag. ``on`` is the day whose holds count."""
    return _kept(work, kind, on, [_query(kind, on).where(PIECE.c.retired == 0)])


def pieces_with_tags(work: Work, kind: Kind, tags: Iterable[str], on: date | None = None) -> list[CribPiece]:
    """The pieces of a kind that bear one of the tags, retired or not, by tag."""
    query = _query(kind, on)
    return _kept(work, kind, on, (query.where(PIECE.c.tag.in_(lot)) for lot in in_lots(tags)))


def piece_with_tag(work: Work, tag: str, on: date | None = None) -> CribPiece | None:
    """The piece that bears a tag; None where there is none."""
    kind = work.connection.scalar(select(PIECE.c.kind).where(PIECE.c.tag == tag))
    found = pieces_with_tags(work, word_kept(Kind, kind), [tag], on) if kind else []
    return found[0] if found else None


def tags_like(work: Work, tag: str, most: int = 3) -> list[str]:
    """The tags that share an unknown tag's prefix, else those most like it."""
    tags = sorted(work.connection.scalars(select(PIECE.c.tag).where(PIECE.c.retired == 0)))
    begun = [each for each in tags if tag and each.casefold().startswith(tag.casefold())]
    return (begun or get_close_matches(tag[:LONGEST_TAG], tags, n=most))[:most]


def _query(kind: Kind, on: date | None) -> Select[Any]:
    tables, state = with_state(record_tables(kind), on)
    return select(PIECE.c.retired, *state, *record_columns(kind)).select_from(tables)


def _kept(work: Work, kind: Kind, on: date | None, queries: Iterable[Select[Any]]) -> list[CribPiece]:
    translator = Translator(kind)
    found = [
        CribPiece(
            translator.record(record),
            bool(retired),
            "; ".join(why_off(condition, missing, lent_words(lent_to, since, sent), held_for, on)),
        )
        for query in queries
        for retired, condition, missing, lent_to, since, sent, held_for, *record in work.connection.execute(
            query
        )
    ]
    return sorted(found, key=lambda kept: kept.record.piece.tag)
