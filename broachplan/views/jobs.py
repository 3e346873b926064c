"""The list of coming work, and one job with all that is known of it: in words, and for another program."""

from __future__ import annotations

from typing import TYPE_CHECKING

from broachplan.crib.holds import work_key
from broachplan.crib.status_words import days_words
from broachplan.jobs.job import JobState
from broachplan.jobs.numbers import next_number
from broachplan.questions.jobs import (
    LINES,
    QUESTION,
    JobDropRequest,
    JobFinishRequest,
    JobRequest,
    JobsRequest,
    JobStartRequest,
)
from broachplan.questions.read_job import texts_of
from broachplan.questions.what_if import WhatIfRequest
from broachplan.sheets.listing import Ask, Confirm, ListAct, ListOf, Next, Open
from broachplan.sheets.result import Column, NamedValue, ResultSheet, Sentence, SheetBlock
from broachplan.sheets.table import Field, moment_words, plain
from broachplan.shown import numbered
from broachplan.views.today import today

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from typing import Any

    from broachplan.desks.buyer.close_job import ClosedJob
    from broachplan.desks.buyer.list_jobs import ListedWork, ShownJob
    from broachplan.desks.buyer.start_job import JobNotStarted, StartedJob
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


def _starts(work: ListedWork) -> Mapping[str, str]:
    """What the form of a job that is changed begins with: its number under ``job``, and its texts."""
    return {"job": work.job.number, **texts_of(work.job)}


def _what_was_done(done: Sequence[str] | None) -> str | None:
    return "; ".join(done) if done else None


def _add(listed: Sequence[ListedWork], _: ListedWork | None) -> Next:
    return Open("job_form", {"number": next_number([work.job.number for work in listed])}, _what_was_done)


def _change(_: Sequence[ListedWork], work: ListedWork | None) -> Next:
    return Open("job_form", _starts(work), _what_was_done) if work and work.job.state.is_open else None


def _start(_: Sequence[ListedWork], work: ListedWork | None) -> Next:
    if work is None or work.job.state is not JobState.COMING:
        return None
    said = "Broach, bushing and shims of its best plan are held for it on its days, all or none."
    return _asked(work, "Start", said, lambda by: JobStartRequest(number=work.job.number, by=by), _started)


def _finish(_: Sequence[ListedWork], work: ListedWork | None) -> Next:
    if work is None or work.job.state is not JobState.STARTED:
        return None
    said = "It is done; what it holds from today on is free."
    return _asked(work, "Finish", said, lambda by: JobFinishRequest(number=work.job.number, by=by), _said)


def _drop(_: Sequence[ListedWork], work: ListedWork | None) -> Next:
    """What it does to the other jobs is shown first."""
    if work is None or not work.job.state.is_open:
        return None
    from broachplan.views.job_difference import difference_sheet

    number = work.job.number
    return Ask(
        WhatIfRequest(number=number, dropped=True),
        lambda found: Confirm(
            f"Drop job {number}?",
            "It is not wanted any more; what it holds is free.",
            difference_sheet(found),
            lambda by: Ask(JobDropRequest(number=number, by=by), _said),
        ),
    )


def _asked(
    work: ListedWork,
    act: str,
    said: str,
    request: Callable[[str], object],
    then: Callable[[Any], Next],
) -> Next:
    job, title = work.job, f"{act} job {work.job.number}?"
    block = SheetBlock(job.note, (NamedValue("due", str(job.due)), NamedValue("at the press", _days(work))))
    sheet = ResultSheet(f"Job {job.number}", job.number, (block,))
    return Confirm(title, said, sheet, lambda by: Ask(request(by), then))


def _said(done: ClosedJob) -> Next:
    return "; ".join(done.lines)


def _started(done: StartedJob | JobNotStarted) -> Next:
    """What it holds, or why there is no plan."""
    if hasattr(done, "lines"):
        return "; ".join(done.lines)
    from broachplan.sheets.answer import plan_sheet

    return plan_sheet(done.answer)


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
    names=lambda work, typed: work_key(work.job.number) == work_key(typed),
    opens=lambda work: Ask(JobRequest(number=work.job.number), job_sheet),
    enter=("open", "The question of the job as typed, what it holds, and its history"),
    acts=(
        ListAct("f2", "job_add", "add", "Put one more job into the list; what it does to the others is shown first", does=_add),
        ListAct("f3", "job_change", "change", "Change the chosen job, or move it; what that does to the others is shown first", does=_change),
        ListAct("f4", "job_start", "start", "Start the chosen job: its pieces are held for it on its days", does=_start),
        ListAct("f6", "job_finish", "finish", "The chosen job is done; what it holds is free", does=_finish),
        ListAct("f8", "job_drop", "drop", "The chosen job is not wanted any more", does=_drop),
        ListAct("ctrl+e", "job_bring_in", "bring in", "Bring jobs in from a CSV file or a workbook", does=lambda _, __: Open("job_import")),
    ),
)  # fmt: skip
