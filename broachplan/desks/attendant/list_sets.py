"""The marked boxes: which are complete, and what the others lack."""

from __future__ import annotations

from broachplan.crib.sets import ToolSet, sets_of
from broachplan.questions.reads import SetsRequest
from broachplan.store.stored_pieces import with_a_set
from broachplan.store.work import reading

__all__ = ["ToolSet", "list_sets"]


def list_sets(db: str | None, _: SetsRequest) -> tuple[ToolSet, ...]:
    """Every set by its name, with the status of each of its pieces.

    Raises
    ------
    StorageError : the database cannot be used.
    """
    with reading(db) as work:
        return sets_of((stored.set_name, stored.status) for stored in with_a_set(work))
