"""Is the crib's database in order?"""

from __future__ import annotations

from broachplan.questions.reads import CheckRequest
from broachplan.store import work
from broachplan.store.check import check


def check_data(db: str | None, _: CheckRequest) -> tuple[str, ...]:
    """What is wrong, one line each; empty when all is well. Nothing is written.

    Raises
    ------
    StorageError : there is no database, or it cannot be opened.
    """
    return check(db)


def blamed(error: Exception) -> Exception:
    """What a fault of the program is to be reported as: `StorageError` where the crib used last fails its check."""
    return work.blamed(error)
