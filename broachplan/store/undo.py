"""The last action taken back: the rows as they were, and an entry of its own for each piece. No entry is ever removed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import delete, exists, select, update
from sqlalchemy.exc import IntegrityError

from broachplan.crib.entries import (
    HELD,
    LENT_TO,
    MISSING_SINCE,
    OF_WEAR,
    RETIRED,
    Act,
    Change,
    Entry,
    Stamp,
    inverse,
    taken_back,
)
from broachplan.errors import CribStateError, StorageError
from broachplan.jobs.entries import JobEntry
from broachplan.store.counts import reopen
from broachplan.store.entries import COLUMNS_OF_ENTRY, ActLine, entry_of
from broachplan.store.histories import current_values
from broachplan.store.holds import set_hold
from broachplan.store.job_undo import jobs_done
from broachplan.store.jobs import keep_jobs
from broachplan.store.kept import word_kept
from broachplan.store.pieces import change, mark
from broachplan.store.run_guard import check_not_in_run, check_not_of_run
from broachplan.store.tables import ACTION, ENTRY, LOAN, PIECE
from broachplan.store.transaction import Work
from broachplan.store.translate import RECORD_COLUMNS, figure_columns
from broachplan.store.wear import keep_wear
from broachplan.tooling.figures import Kind

_OPEN = LOAN.c.returned.is_(None)


@dataclass(frozen=True, slots=True)
class _Done:
    """What the action did to one piece, and the changes that take it back."""

    piece_id: int
    tag: str
    kind: Kind
    entry: Entry
    back: tuple[Change, ...]


def take_back_last(work: Work, stamp: Stamp, seen: int | None = None) -> list[tuple[str, Entry | JobEntry]]:
    """Take back the last action that is neither undone nor an undoing; tags and what is undone, by tag; jobs first.

    Raises
    ------
    CribStateError : there is none, it is not the action ``seen``, it is a step of a run, an open run uses one of its
        pieces, or a piece is not as the action left it.
    StorageError : the history has no entry of it, though every action has one.
    """
    last = ACTION.alias()
    undone = exists().where(last.c.undoes == ACTION.c.id)
    query = (
        select(ACTION.c.id).where(ACTION.c.undoes.is_(None), ~undone).order_by(ACTION.c.id.desc()).limit(1)
    )
    action = work.connection.scalar(query)
    if action is None:
        raise CribStateError("there is nothing to undo")
    if seen is not None and action != seen:
        raise CribStateError("something else was done meanwhile; look at what is the last now")
    check_not_of_run(work, action)
    done, of_jobs = _done(work, action), jobs_done(work, action)
    if not done and not of_jobs:
        raise StorageError(
            f"the crib holds an action without entries, {action}; `broachplan data check` shows more"
        )
    check_not_in_run(work, [each.piece_id for each in done])
    for kind in Kind:
        if of_kind := [each for each in done if each.kind is kind]:
            _restore(work, kind, of_kind)
    reopen(work, action)
    lines = [ActLine(each.piece_id, Act.UNDONE, each.back) for each in done]
    try:
        keep_jobs(work, stamp, [each.line for each in of_jobs], lines, undoes=action)
    except IntegrityError as error:
        raise CribStateError("somebody else undid it just now") from error
    jobs: list[tuple[str, Entry | JobEntry]] = [(f"job {each.entry.number}", each.entry) for each in of_jobs]
    return [*jobs, *sorted(((each.tag, each.entry) for each in done), key=lambda each: each[0])]


def _done(work: Work, action: int) -> list[_Done]:
    query = (
        select(
            PIECE.c.id,
            PIECE.c.tag,
            PIECE.c.kind,
            *COLUMNS_OF_ENTRY,
        )
        .select_from(
            ENTRY.join(ACTION, ACTION.c.id == ENTRY.c.action_id).join(PIECE, PIECE.c.id == ENTRY.c.piece_id)
        )
        .where(ENTRY.c.action_id == action)
    )
    found = []
    for id, tag, kind, *row in work.connection.execute(query).all():
        entry = entry_of(*row)
        # What was received cannot be made not to have been; it leaves as every piece leaves.
        back = (Change(RETIRED, 0, 1),) if entry.act is Act.RECEIVED else inverse(entry.changes)
        found.append(_Done(id, tag, word_kept(Kind, kind), entry, back))
    return found


def _restore(work: Work, kind: Kind, done: Sequence[_Done]) -> None:
    now = current_values(work, kind, [each.piece_id for each in done])
    restored: list[tuple[int, dict[str, Any]]] = []
    marks: dict[tuple[str, Any], list[int]] = defaultdict(list)
    for each in done:
        names = {change.name for change in each.back}
        try:
            before = taken_back(now[each.piece_id], inverse(each.back))
        except ValueError as error:
            raise CribStateError(
                f"{each.tag} was changed since: its {error} is not what it was then"
            ) from error
        if names & {*RECORD_COLUMNS, *figure_columns(kind)}:
            restored.append((each.piece_id, before))
        for name in names & {RETIRED, MISSING_SINCE}:
            marks[name, before[name]].append(each.piece_id)
        if LENT_TO in names:
            _restore_loan(work, each.piece_id, before)
        if names & {*OF_WEAR}:
            keep_wear(work, each.piece_id, before)
        for name in names:
            if name.startswith(HELD):
                for_what = before[name]
                set_hold(
                    work,
                    each.piece_id,
                    name.removeprefix(HELD),
                    for_what if isinstance(for_what, str) else None,
                )
    change(work, kind, restored)
    for (name, value), ids in marks.items():
        mark(work, ids, **{name: value})


def _restore_loan(work: Work, piece_id: int, before: dict[str, Any]) -> None:
    """The entries have every loan there was; this table only those that count."""
    if before[LENT_TO] is None:
        work.connection.execute(delete(LOAN).where(LOAN.c.piece_id == piece_id, _OPEN))
        return
    same = (LOAN.c.to_name == before[LENT_TO]) & (LOAN.c.since == before["since"])
    query = (
        select(LOAN.c.id).where(LOAN.c.piece_id == piece_id, same, ~_OPEN).order_by(LOAN.c.id.desc()).limit(1)
    )
    again = {"returned": None, "due": before["due"], "job": before["job"] or ""}
    work.connection.execute(update(LOAN).where(LOAN.c.id == work.connection.scalar(query)).values(again))
