"""Whether anything was changed, at whatever station, since a page was asked for."""

from __future__ import annotations

from broachplan.questions.shortages import LastChangeRequest
from broachplan.store.last_action import last_action
from broachplan.store.work import reading


def last_change(db: str | None, _: LastChangeRequest) -> int:
    """The number of the last action on pieces, jobs and runs; 0 before the first.

    Raises
    ------
    StorageError : the database cannot be used.
    """
    with reading(db) as work:
        return last_action(work) or 0
