"""What is out, the sets and the last actions as rows of a list."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import TYPE_CHECKING, TypeVar

from tui.piece_text import done_words, when_words
from tui.status_words import OVERDUE, lacks, state_words
from tui.widgets.ledger import Column, Row

if TYPE_CHECKING:
    from broachplan.crib.sets import ToolSet
    from broachplan.desks.attendant.list_actions import Done
    from broachplan.desks.attendant.list_out import Out

OUT_COLUMNS = (
    Column("late"),
    Column("tag", least=10, tags=True),
    Column("kind", drops=2),
    Column("with", least=8),
    Column("since"),
    Column("due"),
    Column("job", least=4, drops=1),
)
SET_COLUMNS = (
    Column("set", least=10),
    Column("pieces", right=True, drops=1),
    Column("state", least=20),
)
MEMBER_COLUMNS = (
    Column("tag", least=10, tags=True),
    Column("kind"),
    Column("state", least=20),
)
ACTION_COLUMNS = (
    Column("when"),
    Column("by", least=6),
    Column("", drops=1),
    Column("what", least=20),
)
Item = TypeVar("Item")


def out_row(piece: Out) -> Row:
    """One piece that is out."""
    loan = piece.loan
    late = OVERDUE if piece.overdue else ""
    return (late, piece.tag, piece.kind.value, loan.to, str(loan.since), str(loan.due or ""), loan.job)


def set_row(box: ToolSet, on: date) -> Row:
    """One set: complete, or what it lacks."""
    return (box.name, str(len(box.pieces)), lacks(box, on))


def member_rows(box: ToolSet, on: date) -> list[Row]:
    """The pieces of a set."""
    return [(piece.tag, piece.kind.value, state_words(piece, on)) for piece in box.pieces]


def action_row(done: Done) -> Row:
    """One action; whether it is undone stands in words."""
    mark = "undone" if done.undone else "undoing" if done.undoes is not None else ""
    return (when_words(done.at), done.by, mark, done_words(done))


def having(rows: Iterable[tuple[Row, Item]], words: str) -> Sequence[tuple[Row, Item]]:
    """The rows that have every word somewhere."""
    wanted = words.lower().split()
    sought = ((" ".join(row).lower(), (row, item)) for row, item in rows)
    return [found for text, found in sought if all(word in text for word in wanted)]
