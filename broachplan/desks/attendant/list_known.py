"""What the crib knows already, to complete what is typed: tags with their pieces' status, sets, homes, people."""

from __future__ import annotations

from broachplan.desks.attendant.clock import day
from broachplan.questions.reads import KnownRequest
from broachplan.store.known import Known, known
from broachplan.store.work import reading

__all__ = ["Known", "list_known"]


def list_known(db: str | None, request: KnownRequest) -> Known:
    """The words that the crib knows.

    Raises
    ------
    StorageError : the database cannot be used.
    """
    with reading(db) as work:
        return known(work, day(request.on))
