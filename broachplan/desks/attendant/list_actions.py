"""The last actions on the crib, and which of them are undone."""

from __future__ import annotations

from broachplan.questions.reads import ActionsRequest
from broachplan.store.actions import Action, Touched, last_actions
from broachplan.store.work import reading

__all__ = ["Action", "Touched", "list_actions"]


def list_actions(db: str | None, request: ActionsRequest) -> tuple[Action, ...]:
    """The last actions, the latest first, undone ones and undoings among them.

    Raises
    ------
    StorageError : the database cannot be used.
    """
    with reading(db) as work:
        return last_actions(work, request.most)
