"""What the crib knows already, to complete what is typed: tags with their pieces' status, sets, homes, people."""

from __future__ import annotations

from datetime import date

from broachplan.desks.attendant.clock import day
from broachplan.store.known import Known, known
from broachplan.store.work import reading

__all__ = ["Known", "list_known"]


def list_known(db: str | None, on: date | None = None) -> Known:
    """The words that the crib knows; ``on`` is the day whose holds count, else today.

    Raises
    ------
    StorageError : the database cannot be used.
    """
    with reading(db) as work:
        return known(work, day(on))
