"""Runs as they are: one in full, or a list of them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from broachplan.desks.machinist.runs.keeping import seen_run
from broachplan.questions.runs import RunRequest, RunsRequest
from broachplan.runs.counts import HubCounts, counts_of
from broachplan.runs.state import RunState, Status
from broachplan.store.runs import StoredRun, load_run, run_numbers
from broachplan.store.work import reading


@dataclass(frozen=True, slots=True)
class ShownRun:
    """A run as it is now; ``stored`` holds what it began with."""

    stored: StoredRun
    state: RunState


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
        numbers = run_numbers(work, only_open=request.only_open)
        stored = [found for number in reversed(numbers) if (found := load_run(work, number))]
    return tuple(map(_listed, stored))


def _listed(stored: StoredRun) -> ListedRun:
    state, run = stored.state(), stored.run
    started = stored.steps[0].at
    assert started is not None
    return ListedRun(
        run.number,
        stored.code,
        state.status,
        state.why,
        run.job,
        run.drawing,
        stored.person,
        counts_of(state),
        started,
        state.step,
    )
