"""Records read in bulk, in the order of their tags."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice
from typing import Any, TypeVar

from sqlalchemy import ColumnElement, FromClause, Select, select

from broachplan.crib.records import Record
from broachplan.store.kept import word_kept
from broachplan.store.tables import FIGURES_OF, PIECE
from broachplan.store.transaction import Work
from broachplan.store.translate import RECORD_COLUMNS, Translator, figure_columns
from broachplan.tooling.figures import Kind

# A statement takes a limited number of values on every database.
_AT_ONCE = 500
_T = TypeVar("_T")


def in_lots(values: Iterable[_T]) -> Iterator[list[_T]]:
    """The values in lists short enough for one statement."""
    rest = iter(values)
    while lot := list(islice(rest, _AT_ONCE)):
        yield lot


def record_columns(kind: Kind) -> list[ColumnElement[Any]]:
    """The columns that `Translator.record` takes."""
    figures = FIGURES_OF[kind]
    return [PIECE.c[name] for name in RECORD_COLUMNS] + [figures.c[name] for name in figure_columns(kind)]


def record_tables(kind: Kind) -> FromClause:
    """The pieces of a kind and their figures."""
    figures = FIGURES_OF[kind]
    return figures.join(PIECE, PIECE.c.id == figures.c.piece_id)


def record_query(kind: Kind) -> Select[Any]:
    """The columns that `Translator.record` takes, of all pieces of a kind."""
    return select(*record_columns(kind)).select_from(record_tables(kind))


def read_kind(work: Work, kind: Kind) -> list[Record]:
    """All pieces of a kind that are not retired, by tag."""
    rows = work.connection.execute(record_query(kind).where(PIECE.c.retired == 0)).all()
    translator = Translator(kind)
    return sorted(map(translator.record, rows), key=lambda record: record.piece.tag)


def matching_tags(work: Work, kinds: Iterable[Kind], text: str) -> list[tuple[Kind, str]]:
    """Kind and tag of the pieces that have ``text``, in any case, in tag, set, home or note; by kind, then tag.

    Compared and ordered here, for databases differ in what they take for upper case and for order.
    """
    wanted, order = text.casefold(), list(Kind)
    columns = (PIECE.c.kind, PIECE.c.tag, PIECE.c.set_name, PIECE.c.home, PIECE.c.note)
    query = select(*columns).where(PIECE.c.retired == 0, PIECE.c.kind.in_([kind.value for kind in kinds]))
    found = [
        (order.index(word_kept(Kind, kind)), tag)
        for kind, tag, *others in work.connection.execute(query).all()
        if any(wanted in words.casefold() for words in (tag, *others))
    ]
    return [(order[place], tag) for place, tag in sorted(found)]
