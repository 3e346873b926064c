"""Take a new piece into the crib."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from broachplan.crib.entries import Act
from broachplan.desks.attendant.clock import stamped
from broachplan.store.entries import ActLine, record
from broachplan.store.pieces import receive
from broachplan.store.typed import check_piece, typed_values
from broachplan.store.work import writing
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import FIGURES


@dataclass(frozen=True, slots=True)
class Added:
    """A piece that is in the crib now; ``missing`` are the labels of figures that every plan needs and that it lacks."""

    kind: Kind
    tag: str
    missing: tuple[str, ...]


def add_piece(
    db: str | None,
    kind: Kind,
    tag: str,
    typed: Mapping[str, str],
    *,
    by: str = "",
    at: datetime | None = None,
) -> Added:
    """Take in a piece of a kind.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    typed : the texts, by the names of the kind's figures and of `store.typed.WORDS`; what is left out is not known.
    by, at : who takes it in, and when; see `stamped`.

    Raises
    ------
    InputError : the tag is another piece's or cannot be one, or a figure cannot be.
    StorageError : the database cannot be used.
    """
    stamp, tag = stamped(by, at), tag.strip()
    values = typed_values(kind, typed)
    check_piece(kind, tag, values)
    with writing(db) as work:
        piece_id = receive(work, kind, tag, values)
        record(work, stamp, [ActLine(piece_id, Act.RECEIVED)])
        work.commit()
    missing = tuple(
        figure.label for figure in FIGURES[kind] if figure.needed and values.get(figure.name) is None
    )
    return Added(kind, tag, missing)
