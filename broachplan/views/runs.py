"""The runs: what state they are in, how far they are, who has the tools; the latest first."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from broachplan.questions.at_press import OpenRunsRequest
from broachplan.questions.runs import RunsRequest
from broachplan.runs.counts import HubCounts
from broachplan.sheets.listing import ListOf, Open
from broachplan.sheets.result import Column
from broachplan.sheets.run import counts_in_words
from broachplan.sheets.table import Field
from broachplan.shown import numbered
from broachplan.views.today import today

if TYPE_CHECKING:
    from broachplan.store.run_list import ListedRun


def hubs_entry(counts: HubCounts) -> dict[str, int]:
    """The hubs of a run in numbers, for another program."""
    return asdict(counts)


def _state(run: ListedRun) -> str:
    return f"{run.status}: {run.why}" if run.why and run.why != run.status else run.status.value


RUNS: ListOf[tuple[ListedRun, ...], ListedRun] = ListOf(
    heading="RUNS",
    hint="type a code, a name, a job, or a state",
    nothing="There are no runs.",
    schema="broachplan.runs/1",
    key="runs",
    order=("run", "code", "state", "why", "step", "by", "job", "drawing", "hubs"),
    fields=(
        Field(Column("run", least=7), lambda run: run.code, "code"),
        Field(Column("state", least=12), _state),
        Field(Column("hubs", least=8), lambda run: hubs_entry(run.hubs), "hubs", lambda run, _: counts_in_words(run.hubs)),
        Field(Column("with", least=6), lambda run: run.person, "by"),
        Field(Column("since", drops=2), lambda run: run.started.astimezone().date()),
        Field(Column("job", least=4, drops=1), lambda run: run.job, "job"),
        Field(Column("drawing", least=4, drops=3), lambda run: run.drawing, "drawing"),
        Field(None, lambda run: run.number, "run"),
        Field(None, lambda run: run.status.value, "state"),
        Field(None, lambda run: run.why, "why"),
        Field(None, lambda run: run.step, "step"),
    ),
    request=RunsRequest,
    view=today,
    total=lambda runs: numbered(len(runs), "run"),
)  # fmt: skip
OPEN_RUNS = RUNS._replace(
    heading="OPEN RUNS",
    nothing="No run is open. F3 at the plan starts one.",
    request=OpenRunsRequest,
    total=lambda runs: f"{numbered(len(runs), 'run')} running or stopped; enter continues the chosen one",
    opens=lambda run: Open("run", str(run.number)),
)
