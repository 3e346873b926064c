"""Keep what a station has for itself, so that a screen that is cut off loses none of it: a count, the last hub asked about."""

from __future__ import annotations

from broachplan.crib.drafts import CausesDraft, CountDraft, Draft
from broachplan.questions.acts import KeepDraftRequest
from broachplan.questions.reads import DraftsRequest
from broachplan.store import drafts
from broachplan.store.location import located

__all__ = ["CausesDraft", "CountDraft", "keep_draft", "kept_drafts"]


def keep_draft(db: str | None, request: KeepDraftRequest) -> None:
    """Keep a draft at this station, in the user's data folder; an empty one takes the place of none.

    Raises
    ------
    StorageError : the folder cannot be written to.
    """
    drafts.keep_draft(located(db), request.draft)


def kept_drafts(db: str | None, _: DraftsRequest) -> tuple[Draft, ...]:
    """What was begun at this station and not finished."""
    return drafts.kept_drafts(located(db))
