"""Take a new piece into the crib."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from broachplan.crib.entries import Act
from broachplan.desks.attendant.clock import stamped
from broachplan.questions.piece import AddRequest
from broachplan.store.entries import ActLine, record
from broachplan.store.pieces import receive
from broachplan.store.typed import check_piece, typed_values
from broachplan.store.work import writing
from broachplan.tooling.figures import Kind, read_kind
from broachplan.tooling.pieces import FIGURES


@dataclass(frozen=True, slots=True)
class Added:
    """A piece that is in the crib now; ``missing`` are the labels of figures that every plan needs and that it lacks."""

    kind: Kind
    tag: str
    missing: tuple[str, ...]

    @property
    def lines(self) -> tuple[str, ...]:
        """That it is in the crib, and what no plan can do without."""
        lacks = f"; no plan uses it until these are measured: {', '.join(self.missing)}"
        return (f"{self.tag}, a {self.kind}, is in the crib{lacks if self.missing else ''}",)


def add_piece(db: str | None, request: AddRequest, *, at: datetime | None = None) -> Added:
    """Take in a piece of a kind.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : no such kind, the tag is another piece's or cannot be one, or a figure cannot be.
    StorageError : the database cannot be used.
    """
    stamp, kind, tag = stamped(request.by, at), read_kind(request.kind), request.tag.strip()
    values = typed_values(kind, request.values)
    check_piece(kind, tag, values)
    with writing(db) as work:
        piece_id = receive(work, kind, tag, values)
        record(work, stamp, [ActLine(piece_id, Act.RECEIVED)])
        work.commit()
    missing = tuple(
        figure.label for figure in FIGURES[kind] if figure.needed and values.get(figure.name) is None
    )
    return Added(kind, tag, missing)
