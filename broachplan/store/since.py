"""Which act an undo is about, and what was done since to the pieces and jobs that it changed."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from sqlalchemy import ColumnElement, Select, exists, func, select

from broachplan.crib.entries import HELD, IN_ITS_ACT, Entry
from broachplan.errors import CribStateError, InputError
from broachplan.store.entries import COLUMNS_OF_ENTRY, entry_of, in_words_of
from broachplan.store.jobs import COLUMNS_OF_JOB_ENTRY, job_entry_of
from broachplan.store.kept import word_kept
from broachplan.store.records_read import in_lots
from broachplan.store.tables import ACTION, ENTRY, JOB_ENTRY, PIECE, RUN_STEP
from broachplan.store.transaction import Work
from broachplan.tooling.figures import Kind

# The largest number that the column of an action's number holds on every database.
_LARGEST = 2**31 - 1


def counts() -> ColumnElement[bool]:
    """Whether an action counts still: it is no undoing and is not undone."""
    later = ACTION.alias()
    return ACTION.c.undoes.is_(None) & ~exists().where(later.c.undoes == ACTION.c.id)


def own_last(work: Work, by: str, station: str) -> int:
    """The last action that counts of the person ``by``, at a station where nobody said who did it.

    An older crib does not say at which station an action was done: there it is the asker's own unless another's name is
    on it.

    Raises
    ------
    CribStateError : there is none; where others did something, it names the last of that.
    """
    query = select(ACTION.c.id, ACTION.c.by_name, ACTION.c.station).where(counts())
    last = None
    for id, its_by, its_station in work.connection.execute(query.order_by(ACTION.c.id.desc())):
        last = last or (id, its_by, its_station)
        same = its_by.casefold() == by.casefold()
        unsaid = not its_by or not by
        if (by and same) or (unsaid and its_station in ("", station)):
            return int(id)
    if last is None:
        raise CribStateError("there is nothing to undo")
    id, its_by, its_station = last
    whose = its_by or f"somebody at {its_station}"
    raise CribStateError(
        f"nothing of {by or 'this station'} is left to undo; the last act is {id}, by {whose}: `broachplan crib undo {id}` undoes it"
    )


def check_may_be_undone(work: Work, action: int) -> None:
    """Refuse an action that there is not, that is an undoing, or that is undone already.

    Raises
    ------
    InputError : there is no such action; the message names the last.
    CribStateError : it is one of the others; the message says by whom.
    """
    later = ACTION.alias()
    query = (
        select(ACTION.c.undoes, later.c.id, later.c.by_name)
        .select_from(ACTION.outerjoin(later, later.c.undoes == ACTION.c.id))
        .where(ACTION.c.id == min(action, _LARGEST))
    )
    found = work.connection.execute(query).one_or_none()
    if found is None:
        last = work.connection.scalar(select(func.max(ACTION.c.id)))
        there = f"the last is {last}" if last else "nothing was done yet"
        raise InputError("act", there, shown=action, fault=", which there is not")
    undoes, undone_in, by = found
    if undoes is not None:
        raise CribStateError(f"act {action} undid act {undoes}, and an undoing is not undone; do it anew")
    if undone_in is not None:
        raise CribStateError(f"act {action} is undone already, in act {undone_in}{_by(by)}")


def check_unchanged_since(work: Work, action: int, piece_ids: Iterable[int], numbers: Iterable[str]) -> None:
    """Refuse where a later action that counts did anything to one of some pieces or jobs.

    Raises
    ------
    CribStateError : it names piece or job, what was done since, in which act and by whom.
    """
    since: list[tuple[int, str]] = []
    for lot in in_lots(piece_ids):
        columns = (PIECE.c.tag, PIECE.c.kind, _in_run(), *COLUMNS_OF_ENTRY)
        query = select(*columns).join(ACTION, ACTION.c.id == ENTRY.c.action_id)
        query = query.join(PIECE, PIECE.c.id == ENTRY.c.piece_id).where(ENTRY.c.piece_id.in_(lot))
        for tag, kind, in_run, *row in _first(work, query, action, ENTRY.c.id):
            entry = entry_of(*row)
            words = _what(word_kept(Kind, kind), entry)
            since.append((entry.number, _changed(tag, words, entry.number, entry.by, in_run=in_run)))
    for names in in_lots(numbers):
        columns_of_job = (_in_run(), ACTION.c.id, *COLUMNS_OF_JOB_ENTRY)
        query = select(*columns_of_job).join(ACTION, ACTION.c.id == JOB_ENTRY.c.action_id)
        for in_run, number, *row in _first(
            work, query.where(JOB_ENTRY.c.number.in_(names)), action, JOB_ENTRY.c.id
        ):
            job = job_entry_of(*row)
            words = "; ".join((job.act.value, *job.differences))
            since.append((number, _changed(f"job {job.number}", words, number, job.by, in_run=in_run)))
    if since:
        raise CribStateError(min(since)[1])


def _first(work: Work, query: Select[Any], action: int, order: ColumnElement[Any]) -> list[Any]:
    """The first row of a query over entries that is of a later action that counts."""
    later = query.where(ACTION.c.id > action, counts()).order_by(order).limit(1)
    return [tuple(row) for row in work.connection.execute(later)]


def _in_run() -> ColumnElement[bool]:
    return exists().where(RUN_STEP.c.action_id == ACTION.c.id)


def _what(kind: Kind, entry: Entry) -> str:
    shown = [each for each in entry.changes if each.name not in IN_ITS_ACT and not each.name.startswith(HELD)]
    return "; ".join((entry.act.value, *(each.words for each in in_words_of(kind, shown))))


def _changed(what: str, words: str, number: int, by: str, *, in_run: bool) -> str:
    first = "" if in_run else f"; undo act {number} first"
    return f"{what} was changed since, in act {number}{_by(by)}: {words}{first}"


def _by(by: str) -> str:
    return f" by {by}" if by else ""
