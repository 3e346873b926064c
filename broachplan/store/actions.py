"""The last actions on the crib as a list: when, by whom, what was done to which pieces, and which are undone."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import func, select

from broachplan.jobs.entries import JobEntry
from broachplan.store.entries import COLUMNS_OF_ENTRY, HistoryLine, entry_of, history_lines
from broachplan.store.jobs import entries_of_jobs
from broachplan.store.kept import moment_kept, word_kept
from broachplan.store.tables import ACTION, ENTRY, PIECE, RUN, RUN_STEP
from broachplan.store.transaction import Work
from broachplan.tooling.figures import Kind

# An import is one action on thousands of pieces; a list shows the first few of them.
FIRST = 20


@dataclass(frozen=True, slots=True)
class Touched:
    """A piece that an action was done to, and its entry."""

    tag: str
    kind: Kind
    line: HistoryLine


@dataclass(frozen=True, slots=True)
class Action:
    """One action; ``number`` counts them, ``first`` are at most `FIRST` of its ``pieces``, of which a run's may have none.

    ``of_run`` says which step of which run it is, and is empty where it is none; ``jobs`` is what it did to jobs. ``undoes`` is the number of the action that it takes back, ``undone`` whether it is taken back itself.
    """

    number: int
    at: datetime
    by: str
    pieces: int
    first: tuple[Touched, ...]
    undoes: int | None
    undone: bool
    of_run: str = ""
    jobs: tuple[JobEntry, ...] = ()


def last_actions(work: Work, most: int) -> tuple[Action, ...]:
    """The last actions, the latest first.

    Raises
    ------
    StorageError : an entry that cannot be.
    """
    later = ACTION.alias()
    step = (RUN.c.id, RUN.c.letters, RUN_STEP.c.step, RUN_STEP.c.act)
    tables = ACTION.outerjoin(later, later.c.undoes == ACTION.c.id)
    tables = tables.outerjoin(RUN_STEP, RUN_STEP.c.action_id == ACTION.c.id)
    tables = tables.outerjoin(RUN, RUN.c.id == RUN_STEP.c.run_id)
    actions = work.connection.execute(
        select(ACTION.c.id, ACTION.c.at, ACTION.c.by_name, ACTION.c.undoes, later.c.id, *step)
        .select_from(tables)
        .order_by(ACTION.c.id.desc())
        .limit(most)
    ).all()
    ids = [id for id, *_ in actions]
    counted = (
        select(ENTRY.c.action_id, func.count()).where(ENTRY.c.action_id.in_(ids)).group_by(ENTRY.c.action_id)
    )
    counts: dict[int, int] = {row[0]: row[1] for row in work.connection.execute(counted).all()}
    first, of_jobs = _first_pieces(work, ids), entries_of_jobs(work, ids)
    return tuple(
        Action(
            id,
            moment_kept(at),
            by,
            counts.get(id, 0),
            tuple(first[id]),
            undoes,
            undoing is not None,
            "" if run is None else f"run R{run}-{letters}, step {number}: {act.replace('_', ' ')}",
            tuple(of_jobs.get(id, ())),
        )
        for id, at, by, undoes, undoing, run, letters, number, act in actions
        if id in counts or id in of_jobs or run is not None
    )


def _first_pieces(work: Work, actions: Sequence[int]) -> dict[int, list[Touched]]:
    place = func.row_number().over(partition_by=ENTRY.c.action_id, order_by=ENTRY.c.id)
    ranked = select(ENTRY.c.id, place.label("place")).where(ENTRY.c.action_id.in_(actions)).subquery()
    query = (
        select(
            ENTRY.c.action_id,
            PIECE.c.tag,
            PIECE.c.kind,
            *COLUMNS_OF_ENTRY,
        )
        .select_from(
            ENTRY.join(ranked, ranked.c.id == ENTRY.c.id)
            .join(ACTION, ACTION.c.id == ENTRY.c.action_id)
            .join(PIECE, PIECE.c.id == ENTRY.c.piece_id)
        )
        .where(ranked.c.place <= FIRST)
        .order_by(ENTRY.c.id)
    )
    found: dict[int, list[Touched]] = defaultdict(list)
    for action, tag, kind, *row in work.connection.execute(query).all():
        its = word_kept(Kind, kind)
        (line,) = history_lines(its, [entry_of(*row)])
        found[action].append(Touched(tag, its, line))
    return found
