"""The list of coming work, and one job with all that is known of it: in words, and for another program."""

from __future__ import annotations

from typing import TYPE_CHECKING

from broachplan.crib.status_words import days_words
from broachplan.questions.jobs import LINES, QUESTION, JobsRequest
from broachplan.questions.read_job import texts_of
from broachplan.sheets.listing import ListOf
from broachplan.sheets.result import Column, NamedValue, ResultSheet, Sentence, SheetBlock
from broachplan.sheets.table import Field, moment_words, plain
from broachplan.shown import numbered
from broachplan.views.today import today

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from broachplan.desks.buyer.list_jobs import ListedWork, ShownJob
    from broachplan.jobs.entries import JobEntry

_LATE = "LATE"


def _days(work: ListedWork) -> str:
    if not work.days.days:
        return ""
    late = f"{_LATE}, " if work.days.late else ""
    return f"{late}{days_words(work.days.days[0], work.days.days[-1])}"


def _total(listed: Sequence[ListedWork]) -> str:
    late = sum(work.days.late for work in listed)
    coming = sum(work.job.state.is_open for work in listed)
    return f"{numbered(len(listed), 'job')}, {coming} to be done, {late} late"


def job_as_dict(work: ListedWork) -> Mapping[str, object]:
    """One job of the list for another program: days as they are written, the question as it was typed."""
    job, days = work.job, work.days
    return {
        "number": job.number,
        "state": job.state.value,
        "due": plain(job.due),
        "press_by": plain(job.press_by),
        "quantity": job.quantity,
        "priority": job.priority,
        "after": job.after or None,
        "days": [plain(days.days[0]), plain(days.days[-1])] if days.days else None,
        "late": days.late,
        "drawing": job.drawing,
        "note": job.note,
        "question": {name: job.question.get(name, "") for name in QUESTION},
        "pieces": list(job.pieces),
    }


def shown_as_dict(shown: ShownJob) -> Mapping[str, object]:
    """One job with its history, the latest first."""
    history = [
        {
            "act": each.act.value,
            "at": plain(each.at),
            "by": each.by,
            "changes": {change.name: [change.old, change.new] for change in each.changes},
        }
        for each in shown.history
    ]
    return {"schema": "broachplan.job/1", **job_as_dict(shown.listed), "history": history}


def job_sheet(shown: ShownJob) -> ResultSheet:
    """One job in words: its state and days, its question as typed, what it holds, and its history."""
    work, job = shown.listed, shown.listed.job
    title = f"Job {job.number}, {job.state}, due {job.due}"
    texts = texts_of(job)
    lines = [NamedValue(each.label, texts[each.name], each.label[:10]) for each in LINES if texts[each.name]]
    blocks = [SheetBlock("As typed", tuple(lines))]
    if work.days.days:
        at_press = [Sentence(_days(work))]
        if job.pieces:
            at_press.append(Sentence(f"holds {', '.join(job.pieces)}"))
        blocks.insert(0, SheetBlock("At the press", tuple(at_press)))
    blocks.append(SheetBlock("History, the latest first", tuple(_history(shown.history))))
    return ResultSheet(title, title, tuple(blocks))


def _history(history: Sequence[JobEntry]) -> Sequence[Sentence]:
    lines = []
    for entry in history:
        by = f" by {entry.by}" if entry.by else ""
        lines.append(Sentence(f"{moment_words(entry.at)}  {entry.act}{by}"))
        lines += [Sentence(words, "  ") for words in entry.differences]
    return lines


JOBS: ListOf[Sequence[ListedWork], ListedWork] = ListOf(
    heading="JOBS",
    hint="type a number, a day, a state, a size, or late",
    nothing="No job is in the list: `broachplan jobs import` brings one in.",
    schema="broachplan.jobs/1",
    key="jobs",
    dict_of=job_as_dict,
    fields=(
        Field(Column("number", least=6), lambda work: work.job.number),
        Field(Column("due"), lambda work: work.job.due),
        Field(Column("at the press", least=10), _days),
        Field(Column("state"), lambda work: work.job.state),
        Field(Column("prio", right=True, drops=3), lambda work: work.job.priority),
        Field(Column("hubs", right=True, drops=2), lambda work: work.job.quantity),
        Field(Column("bore", least=8), lambda work: work.job.question.get("bore", "")),
        Field(Column("key", drops=1), lambda work: work.job.question.get("key", "")),
        Field(Column("note", least=10, drops=4), lambda work: work.job.note),
    ),
    request=JobsRequest,
    view=today,
    total=_total,
)  # fmt: skip
