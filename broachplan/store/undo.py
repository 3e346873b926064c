"""An action taken back: the rows as they were, and an entry of its own for each piece. No entry is ever removed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import delete, select, update
from sqlalchemy.exc import IntegrityError

from broachplan.crib.entries import (
    HELD,
    LENT_TO,
    MISSING_SINCE,
    OF_WEAR,
    RETIRED,
    TAG,
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
from broachplan.store.given_back import names_instead
from broachplan.store.histories import current_values
from broachplan.store.holds import set_hold
from broachplan.store.job_undo import jobs_done
from broachplan.store.jobs import job_entries, keep_jobs
from broachplan.store.jobs_check import broken_by_others
from broachplan.store.kept import word_kept
from broachplan.store.pieces import change, give_tags_back, mark
from broachplan.store.run_guard import check_never_in_run, check_not_in_run, check_not_of_run
from broachplan.store.since import check_may_be_undone, check_unchanged_since, own_last
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


def take_back(work: Work, stamp: Stamp, action: int | None = None) -> list[tuple[str, Entry | JobEntry]]:
    """Take back an action, without its number the asker's own last one; tags and what is undone, by tag; jobs first.

    A piece that it added leaves as every piece leaves, and gives its tag back.

    Raises
    ------
    InputError : there is no action of that number.
    CribStateError : the asker has done nothing; it is undone already, an undoing or a step of a run; an open run uses one
        of its pieces; something was done since to a piece or a job, or a job would lack what it needs.
    StorageError : the history has no entry of it, though every action has one.
    """
    if action is None:
        action = own_last(work, stamp.by, stamp.station)
    check_may_be_undone(work, action)
    check_not_of_run(work, action)
    done, numbers = _done(work, action), [entry.number for entry in job_entries(work, action=action)]
    if not done and not numbers:
        raise StorageError(
            f"the crib holds an action without entries, {action}; `broachplan data check` shows more"
        )
    ids = [each.piece_id for each in done]
    check_not_in_run(work, ids)
    check_unchanged_since(work, action, ids, numbers)
    check_never_in_run(work, [each.piece_id for each in done if each.entry.act is Act.RECEIVED])
    of_jobs = jobs_done(work, action)
    for kind in Kind:
        if of_kind := [each for each in done if each.kind is kind]:
            _restore(work, kind, of_kind)
    reopen(work, action)
    lines = [ActLine(each.piece_id, Act.UNDONE, each.back) for each in done]
    try:
        keep_jobs(work, stamp, [each.line for each in of_jobs], lines, undoes=action)
    except IntegrityError as error:
        raise CribStateError("somebody else undid it just now") from error
    if of_jobs or any(change.name.startswith(HELD) for each in done for change in each.back):
        for broken in broken_by_others(work):
            raise CribStateError(f"act {action} cannot be undone any more; without it, {broken}")
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
    rows = [
        (id, tag, word_kept(Kind, kind), entry_of(*row))
        for id, tag, kind, *row in work.connection.execute(query.order_by(ENTRY.c.id))
    ]
    names = names_instead(work, [tag for _, tag, _, entry in rows if entry.act is Act.RECEIVED], action)
    found = []
    for id, tag, kind, entry in rows:
        back = inverse(entry.changes)
        if entry.act is Act.RECEIVED:
            # What was received cannot be made not to have been. It leaves as every piece leaves, and a slip burns no tag.
            back = (Change(RETIRED, 0, 1), Change(TAG, tag, names[tag]))
        found.append(_Done(id, tag, kind, entry, back))
    return found


def _restore(work: Work, kind: Kind, done: Sequence[_Done]) -> None:
    now = current_values(work, kind, [each.piece_id for each in done])
    restored: list[tuple[int, dict[str, Any]]] = []
    given_back: dict[int, str] = {}
    marks: dict[tuple[str, Any], list[int]] = defaultdict(list)
    for each in done:
        names = {change.name for change in each.back}
        if TAG in names:
            given_back[each.piece_id] = next(str(change.new) for change in each.back if change.name == TAG)
            names -= {TAG, RETIRED}
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
    give_tags_back(work, given_back)
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
    again = {"returned": None, "due": before["due"], "sent": before["sent"] or 0}
    again |= {name: before[name] or "" for name in ("job", "lacked")}
    work.connection.execute(update(LOAN).where(LOAN.c.id == work.connection.scalar(query)).values(again))
