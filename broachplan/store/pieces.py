"""Pieces put into the crib and changed: their rows, and the rows of their figures."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from sqlalchemy import Table, bindparam, select, update
from sqlalchemy.exc import IntegrityError

from broachplan.errors import InputError
from broachplan.store.records_read import in_lots, record_query
from broachplan.store.tables import FIGURES_OF, PIECE
from broachplan.store.transaction import Work
from broachplan.store.translate import RECORD_COLUMNS, figure_columns
from broachplan.tooling.figures import Kind


def add(work: Work, kind: Kind, pieces: Sequence[tuple[dict[str, Any], dict[str, Any]]]) -> list[int]:
    """Insert pieces of one kind, each as the values of its row and those of its figures; their ids, in that order."""
    if not pieces:
        return []
    work.connection.execute(PIECE.insert(), [piece for piece, _ in pieces])
    ids: dict[str, int] = {}
    for tags in in_lots(piece["tag"] for piece, _ in pieces):
        query = select(PIECE.c.tag, PIECE.c.id).where(PIECE.c.tag.in_(tags))
        ids.update((tag, id) for tag, id in work.connection.execute(query))
    rows = [{"piece_id": ids[piece["tag"]], **figures} for piece, figures in pieces]
    work.connection.execute(FIGURES_OF[kind].insert(), rows)
    return [row["piece_id"] for row in rows]


def receive(work: Work, kind: Kind, tag: str, values: Mapping[str, Any]) -> int:
    """Insert one new piece, what it is not given being empty; its id.

    Raises
    ------
    InputError : another piece has the tag, or had it.
    """
    words = dict.fromkeys(("set_name", "home", "note", "measured_with", "measured_by"), "")
    piece = {
        **words,
        "condition": "fit",
        "measured_on": None,
        "measured_to": None,
        "made_here": 0,
        "tag": tag,
        "kind": kind.value,
    }
    piece |= {name: value for name, value in values.items() if name in piece}
    figures = {name: values.get(name) for name in figure_columns(kind)}
    try:
        with work.connection.begin_nested():
            return add(work, kind, [(piece, figures)])[0]
    except IntegrityError as error:
        query = select(PIECE.c.kind, PIECE.c.retired).where(PIECE.c.tag == tag)
        found = work.connection.execute(query).one_or_none()
        if found is None:
            raise
        has = "had until it was retired" if found.retired else "in the crib has"
        raise InputError(
            "tag", "give the piece another tag", read=tag, fault=f", which a {found.kind} {has}"
        ) from error


def change(work: Work, kind: Kind, pieces: Sequence[tuple[int, Mapping[str, Any]]]) -> None:
    """Set all columns that a record fills of pieces of one kind, each by its id, and count the change in its version."""
    if not pieces:
        return
    figures = FIGURES_OF[kind]
    own = [name for name in RECORD_COLUMNS if name != "tag"]
    for table, key, names in ((PIECE, PIECE.c.id, own), (figures, figures.c.piece_id, figure_columns(kind))):
        counted = {"version": PIECE.c.version + 1} if table is PIECE else {}
        statement = update(table).where(key == bindparam("of_id")).values(**_bound(table, names), **counted)
        rows = [{"of_id": id, **{f"new_{name}": values[name] for name in names}} for id, values in pieces]
        work.connection.execute(statement, rows)


def mark(work: Work, ids: Iterable[int], **marks: Any) -> None:
    """Set columns of some pieces, as ``retired``, ``missing_since`` or ``set_name``; counted in their versions."""
    marked = update(PIECE).where(PIECE.c.id == bindparam("of_id"))
    rows = [{"of_id": id} for id in ids]
    if rows:
        work.connection.execute(marked.values(**marks, version=PIECE.c.version + 1), rows)


def give_tags_back(work: Work, names: Mapping[int, str]) -> None:
    """Retire some pieces and leave them a name in place of the tag, which may be given to another piece; by their ids."""
    taken_out = update(PIECE).where(PIECE.c.id == bindparam("of_id"))
    rows = [{"of_id": id, "new_tag": name} for id, name in names.items()]
    if rows:
        values = {"tag": bindparam("new_tag"), "retired": 1, "version": PIECE.c.version + 1}
        work.connection.execute(taken_out.values(values), rows)


def values_of(work: Work, kind: Kind, tag: str) -> dict[str, Any]:
    """The columns that a record of the piece fills, as they are."""
    return dict(work.connection.execute(record_query(kind).where(PIECE.c.tag == tag)).mappings().one())


def _bound(table: Table, names: Iterable[str]) -> dict[str, Any]:
    return {name: bindparam(f"new_{name}", type_=table.c[name].type) for name in names}
