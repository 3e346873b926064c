"""Keep what a station has for itself, so that a screen that is cut off loses none of it: a count, the last hub asked about."""

from __future__ import annotations

from collections.abc import Mapping

from broachplan.crib.drafts import CausesDraft, CountDraft, Draft, WaitingDraft
from broachplan.questions.acts import KeepDraftRequest, TakeOverRequest
from broachplan.questions.reads import DraftsRequest
from broachplan.store import drafts, sessions
from broachplan.store.location import located

__all__ = ["CausesDraft", "CountDraft", "keep_draft", "kept_drafts", "take_over"]


def keep_draft(db: str | None, request: KeepDraftRequest) -> None:
    """Keep a draft at this station, in the user's data folder; an empty one takes the place of none.

    Raises
    ------
    StorageError : the folder cannot be written to.
    """
    here = located(db)
    if isinstance(request.draft, WaitingDraft) and request.draft:
        sessions.begin(drafts.folder_of(here), request.draft.session)
    drafts.keep_draft(here, request.draft)


def kept_drafts(db: str | None, _: DraftsRequest) -> tuple[Draft, ...]:
    """What was begun at this station and not finished."""
    return drafts.kept_drafts(located(db))


def take_over(db: str | None, request: TakeOverRequest) -> tuple[Mapping[str, str], ...]:
    """What sessions that are over left waiting in a form; what a session that still runs has in hand stays with it.

    It is kept as this session's before it is taken from the others: a program that is killed in between loses nothing.

    Raises
    ------
    StorageError : the user's data folder cannot be written to.
    """
    here = located(db)
    waiting = [one for one in drafts.kept_drafts(here) if isinstance(one, WaitingDraft)]
    left = [
        one
        for one in waiting
        if one.form == request.form
        and one.session != request.session
        and sessions.is_over(drafts.folder_of(here), one.session)
    ]
    if not left:
        return ()
    rows = tuple(row for one in left for row in one.rows)
    keep_draft(db, KeepDraftRequest(draft=WaitingDraft(request.form, request.session, rows)))
    for one in left:
        drafts.keep_draft(here, WaitingDraft(one.form, one.session))
    return rows
