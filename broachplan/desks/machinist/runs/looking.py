"""Runs as they are: one in full, or a list of them."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.desks.machinist.runs.keeping import seen_run
from broachplan.questions.runs import RunRequest, RunsRequest
from broachplan.runs.state import RunState
from broachplan.store.run_list import ListedRun, listed_runs
from broachplan.store.runs import StoredRun
from broachplan.store.work import reading


@dataclass(frozen=True, slots=True)
class ShownRun:
    """A run as it is now; ``stored`` holds what it began with."""

    stored: StoredRun
    state: RunState


def show_run(db: str | None, request: RunRequest) -> ShownRun:
    """A run by its number or its code.

    Raises
    ------
    InputError : there is none, or the letters are another run's.
    StorageError : the database cannot be used.
    """
    with reading(db) as work:
        return ShownRun(*seen_run(work, request.run))


def list_runs(db: str | None, request: RunsRequest) -> tuple[ListedRun, ...]:
    """All runs, or those that are running or stopped; the latest first.

    Raises
    ------
    StorageError : the database cannot be used.
    """
    with reading(db) as work:
        return listed_runs(work, only_open=request.only_open)
