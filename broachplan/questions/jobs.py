"""What is asked of the list of coming work: one request for each act on jobs, as typed. Options, forms and columns derive from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from broachplan.questions import job_kinds, kinds
from broachplan.questions.acts import by_line
from broachplan.questions.hub import JOB_COLUMNS, HubQuestion, PlanRequest
from broachplan.questions.line import Line, chosen, line, lines_of, several

_STATES = "coming, started, done or dropped"
# What no job can do without.
NEEDED = ("due", "quantity", "bore", "hub_length")
# The lines of a job's question: the hub's, and the press.
QUESTION = (*JOB_COLUMNS, "press")


def number_line() -> Any:
    """Which job."""
    about = "The job, by its number."
    return line("Number", kinds.JOB_NUMBER, about, hint="(its number)", needed=True, positional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class _OfJob:
    """What is asked of a job beside the hub's question."""

    due: str = line("Due", kinds.DAY, "The day it is due, for example 2031-05-28.", hint="(as 2031-05-28)")
    quantity: str = line("Quantity", job_kinds.QUANTITY, "How many like hubs.", hint="(1 to 100,000)")
    note: str = line("Note", kinds.NOTE, "What the hub is for.")
    days: str = line(
        "Days", job_kinds.JOB_DAYS, "On how many working days it is at the press; else 1.", hint="(1)"
    )
    priority: str = line("Priority", job_kinds.PRIORITY, "From 1, the most urgent, to 9; else 5.", hint="(5)")
    drawing: str = line("Drawing", kinds.NOTE, "The drawing and its issue.", hint="(and its issue)")
    press_by: str = line(
        "Press by", kinds.DAY, "The last day at the press; else the due day.", hint="(the due day)"
    )
    after: str = line(
        "After", kinds.JOB_NUMBER, "A job that it follows on the same pieces and days.", hint="(its number)"
    )


def _lines() -> tuple[Line, ...]:
    """The lines of a job in the order of a list's columns; none is needed, because a change names some of them."""
    by_name = {
        each.name: each
        for each in (
            *lines_of(_OfJob),
            *chosen(lines_of(HubQuestion), *JOB_COLUMNS),
            *chosen(lines_of(PlanRequest), "press"),
        )
    }
    first = ("due", "quantity", "bore", "standard", "key", "reading", "hub_length", "material", "note")
    last = ("press", "days", "priority", "drawing", "press_by", "after")
    between = tuple(name for name in by_name if name not in {*first, *last})
    return tuple(replace(by_name[name], needed=False) for name in (*first, *between, *last))


LINES = _lines()
COLUMNS = ("number", *(each.name for each in LINES))


@dataclass(frozen=True, slots=True, kw_only=True)
class JobImportRequest:
    """Bring in a list of jobs from CSV files and workbooks: all rows or none."""

    paths: tuple[str, ...] = line(
        "Paths",
        kinds.PATH,
        "CSV files or .xlsx workbooks with a row for each job.",
        needed=True,
        positional=True,
        many=True,
    )
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class JobAddRequest:
    """Put one more job into the list."""

    number: str = number_line()
    values: Mapping[str, str] = several(replace(each, needed=each.name in NEEDED) for each in LINES)
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class JobEditRequest:
    """Change what is given of a job; the rest stays, and "" takes a value back. State coming sets a started job back."""

    number: str = number_line()
    values: Mapping[str, str] = several(LINES)
    state: str = line(
        "State", job_kinds.JOB_STATE, "coming: set a started job back, which frees what it holds."
    )
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class JobStartRequest:
    """Start a job: broach, bushing and shims of its plan are held for it on its days, all or none."""

    number: str = number_line()
    plan: str = line("Plan", kinds.NUMBER, "Which of its plans, as plan numbers them; else the best.")
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class JobFinishRequest:
    """A started job is done: what it holds from today on is free."""

    number: str = number_line()
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class JobDropRequest:
    """A job is not wanted any more: what it holds from today on is free."""

    number: str = number_line()
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class JobsRequest:
    """The jobs in their order: priority, due day, number."""

    state: str = line("State", job_kinds.JOB_STATE, f"Only those that are {_STATES}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class JobRequest:
    """One job with its question and what was done to it."""

    number: str = number_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class JobDrawingRequest:
    """A drawing of what the shop has to make for a job that is blocked: its bushing, its shims."""

    number: str = number_line()
    file: str = line("File", kinds.FILE, "The .svg or .pdf to write.", needed=True, positional=True)
    page: str = line("Page", kinds.PAPER, "a4 or letter.", default="letter")
    on: str = line("On", kinds.DAY, "The day from which it is asked; else today.")
    overwrite: bool = line("Overwrite", kinds.FLAG, "Replace the file if it is there already.")
