"""Runs in a list: from their rows alone, so that a list of many runs folds none of them."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import and_, func, select

from broachplan.errors import StorageError
from broachplan.runs.counts import HubCounts, counts_of
from broachplan.runs.state import Status
from broachplan.store.kept import moment_kept
from broachplan.store.run_guard import OPEN
from broachplan.store.runs import load_run
from broachplan.store.tables import ACTION, RUN, RUN_STEP
from broachplan.store.transaction import Work


@dataclass(frozen=True, slots=True)
class ListedRun:
    """A run in a list: its code, what it is for, who has its tools, how far it is and since when."""

    number: int
    code: str
    status: Status
    why: str
    job: str
    drawing: str
    person: str
    hubs: HubCounts
    started: datetime
    step: int


def listed_runs(work: Work, *, only_open: bool = False) -> tuple[ListedRun, ...]:
    """All runs, or those that are running or stopped; the latest first.

    Raises
    ------
    StorageError : the crib holds a run that cannot be.
    """
    every = RUN_STEP.alias()
    last = select(func.max(every.c.step)).where(every.c.run_id == RUN.c.id).scalar_subquery()
    start = RUN.join(RUN_STEP, and_(RUN_STEP.c.run_id == RUN.c.id, RUN_STEP.c.step == 1))
    query = (
        select(RUN, ACTION.c.at, last.label("last_step"))
        .select_from(start.join(ACTION, ACTION.c.id == RUN_STEP.c.action_id))
        .order_by(RUN.c.id.desc())
    )
    if only_open:
        query = query.where(RUN.c.state.in_(OPEN))
    rows = work.connection.execute(query).mappings().all()
    return tuple(_listed(work, row) for row in rows)


def _listed(work: Work, row: Mapping[Any, Any]) -> ListedRun:
    number = row["id"]
    try:
        return ListedRun(
            number=number,
            code=f"R{number}-{row['letters']}",
            status=Status(row["state"]),
            why=row["why"],
            job=row["job"],
            drawing=row["drawing"],
            person=row["person"],
            hubs=HubCounts(*json.loads(row["counts"])) if row["counts"] else _counted(work, number),
            started=moment_kept(row["at"]),
            step=row["last_step"],
        )
    except (ValueError, TypeError, RecursionError) as error:
        raise StorageError(f"the crib holds a run that cannot be, {number}: {error}") from error


def _counted(work: Work, number: int) -> HubCounts:
    """The hubs in numbers of a run whose row is from before the column."""
    stored = load_run(work, number)
    assert stored is not None
    return counts_of(stored.state())
