"""The tables of coming work: the jobs as they are, and what was done to each."""

from __future__ import annotations

from typing import Any

from sqlalchemy import CheckConstraint, Column, ForeignKey, Index, Integer, Text, UniqueConstraint
from sqlmodel import Field

from broachplan.store.columns import STRICT, Row, day_column, id_column, is_one_of, words_column

# Written out and not derived, as everything that a revision makes; a test compares them with those there are.
JOB_STATES = ("coming", "started", "done", "dropped")
JOB_ACTS = ("added", "changed", "started", "set back", "finished", "dropped", "undone")
_LONGEST_NUMBER = 40
_LONGEST_JSON = 20_000


def _whole(name: str, most: int) -> Any:
    rule = CheckConstraint(f"{name} BETWEEN 1 AND {most}", name=f"{name}_range")
    return Field(sa_column=Column(name, Integer, rule, nullable=False))


class JobRow(Row, table=True):
    """One job of the list of coming work.

    ``key`` is what is the same however the number is written; ``question`` is what was typed of the hub, by the names of
    its lines, as JSON. ``pieces`` and ``held`` are JSON lists, of the tags that a started job holds and of the days.
    """

    __tablename__ = "job"
    __table_args__ = (
        is_one_of("state", JOB_STATES),
        CheckConstraint("press_by <= due", name="press_by_before"),
        CheckConstraint(
            "(state = 'started') = (pieces <> '[]') AND (pieces = '[]') = (held = '[]')", name="holds_started"
        ),
        UniqueConstraint("number"),
        UniqueConstraint("key"),
        Index("ix_job_state", "state"),
        STRICT,
    )
    id: int | None = id_column()
    number: str = words_column("number", least=1, most=_LONGEST_NUMBER)
    key: str = words_column("key", least=1, most=2 * _LONGEST_NUMBER)
    state: str = Field(sa_column=Column("state", Text, nullable=False))
    due: str = day_column("due", nullable=False)
    press_by: str | None = day_column("press_by")
    quantity: int = _whole("quantity", 100_000)
    days: int = _whole("days", 60)
    priority: int = _whole("priority", 9)
    after: str = words_column("after", most=_LONGEST_NUMBER)
    drawing: str = words_column("drawing")
    note: str = words_column("note")
    question: str = words_column("question", least=2, most=_LONGEST_JSON)
    pieces: str = words_column("pieces", least=2, most=_LONGEST_JSON)
    held: str = words_column("held", least=2, most=_LONGEST_JSON)


class JobEntryRow(Row, table=True):
    """What one act did to one job, by its number; ``changes`` is what `crib.entries` writes. Entries are only ever added."""

    __tablename__ = "job_entry"
    __table_args__ = (
        is_one_of("act", JOB_ACTS),
        UniqueConstraint("action_id", "number"),
        Index("ix_job_entry_number", "number"),
        STRICT,
    )
    id: int | None = id_column()
    action_id: int = Field(sa_column=Column("action_id", Integer, ForeignKey("action.id"), nullable=False))
    number: str = words_column("number", least=1, most=_LONGEST_NUMBER)
    act: str = Field(sa_column=Column("act", Text, nullable=False))
    changes: str = words_column("changes", least=2, most=2 * _LONGEST_JSON)
