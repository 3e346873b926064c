"""What the counts did not find, and nobody has found since."""

from __future__ import annotations

from broachplan.crib.homes import Placed
from broachplan.questions.reads import MissingRequest
from broachplan.store.counts import placed
from broachplan.store.stored_pieces import missing
from broachplan.store.work import reading

__all__ = ["Placed", "list_missing"]


def list_missing(db: str | None, _: MissingRequest) -> tuple[Placed, ...]:
    """Every missing piece that is not retired: the longest missing first, then by tag.

    Raises
    ------
    StorageError : the database cannot be used.
    """
    with reading(db) as work:
        found = map(placed, missing(work))
        return tuple(sorted(found, key=lambda piece: (str(piece.status.missing_since), piece.tag)))
