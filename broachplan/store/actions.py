"""The last actions on the crib as a list: when, by whom, what was done to which pieces, and which are undone."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import func, select

from broachplan.store.entries import HistoryLine, entry_of, history_lines
from broachplan.store.kept import word_kept
from broachplan.store.tables import ACTION, ENTRY, PIECE
from broachplan.store.transaction import Work
from broachplan.tooling.figures import Kind

# An import is one action on thousands of pieces; a list tells the first few of them.
FIRST = 20


@dataclass(frozen=True, slots=True)
class Touched:
    """A piece that an action was done to, and its entry."""

    tag: str
    kind: Kind
    line: HistoryLine


@dataclass(frozen=True, slots=True)
class Done:
    """One action; ``number`` counts them, ``first`` are at most `FIRST` of its ``pieces``.

    ``undoes`` is the number of the action that it takes back, ``undone`` whether it is taken back itself.
    """

    number: int
    at: datetime
    by: str
    pieces: int
    first: tuple[Touched, ...]
    undoes: int | None
    undone: bool


def last_actions(work: Work, most: int) -> tuple[Done, ...]:
    """The last actions, the latest first.

    Raises
    ------
    StorageError : an entry that cannot be.
    """
    later = ACTION.alias()
    actions = work.connection.execute(
        select(ACTION.c.id, ACTION.c.undoes, later.c.id)
        .select_from(ACTION.outerjoin(later, later.c.undoes == ACTION.c.id))
        .order_by(ACTION.c.id.desc())
        .limit(most)
    ).all()
    ids = [id for id, *_ in actions]
    counted = (
        select(ENTRY.c.action_id, func.count()).where(ENTRY.c.action_id.in_(ids)).group_by(ENTRY.c.action_id)
    )
    counts: dict[int, int] = {row[0]: row[1] for row in work.connection.execute(counted).all()}
    first = _first_pieces(work, ids)
    return tuple(
        Done(
            id,
            first[id][0].line.entry.at,
            first[id][0].line.entry.by,
            counts[id],
            tuple(first[id]),
            undoes,
            undoing is not None,
        )
        for id, undoes, undoing in actions
        if id in counts
    )


def _first_pieces(work: Work, actions: Sequence[int]) -> dict[int, list[Touched]]:
    place = func.row_number().over(partition_by=ENTRY.c.action_id, order_by=ENTRY.c.id)
    ranked = select(ENTRY.c.id, place.label("place")).where(ENTRY.c.action_id.in_(actions)).subquery()
    query = (
        select(
            ENTRY.c.action_id,
            PIECE.c.tag,
            PIECE.c.kind,
            ENTRY.c.act,
            ACTION.c.at,
            ACTION.c.by_name,
            ENTRY.c.note,
            ENTRY.c.changes,
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
