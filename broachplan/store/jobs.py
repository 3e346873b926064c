"""Jobs as the crib keeps them: between rows and the frozen job, and the history of each."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from typing import Any

from sqlalchemy import delete, insert, select, update

from broachplan.crib.entries import Change, Stamp, Value, changes_between, read, written
from broachplan.crib.holds import work_key
from broachplan.crib.sharing import Sharing
from broachplan.errors import InputError, StorageError
from broachplan.jobs.entries import JobEntry
from broachplan.jobs.job import Job, JobAct, JobState
from broachplan.questions.jobs import QUESTION
from broachplan.store.entries import ActLine, record_anyway
from broachplan.store.kept import moment_kept, word_kept
from broachplan.store.records_read import in_lots
from broachplan.store.tables import ACTION, JOB, JOB_ENTRY
from broachplan.store.transaction import Work

# What `job_entry_of` takes.
COLUMNS_OF_JOB_ENTRY = (
    JOB_ENTRY.c.number,
    JOB_ENTRY.c.act,
    ACTION.c.at,
    ACTION.c.by_name,
    JOB_ENTRY.c.changes,
)
_OWN = ("number", "state", "due", "press_by", "quantity", "days", "priority", "after", "drawing", "note")


@dataclass(frozen=True, slots=True)
class JobLine:
    """One job's part in an action: the job as it is after it, None where it is not there any more."""

    act: JobAct
    before: Job | None
    after: Job | None

    @property
    def number(self) -> str:
        """The number of the job."""
        found = self.after or self.before
        assert found is not None
        return found.number

    @property
    def changes(self) -> tuple[Change, ...]:
        """What becomes different."""
        before, after = values_of(self.before), values_of(self.after)
        return changes_between(before, {**dict.fromkeys(before), **after})


def load_jobs(work: Work, state: JobState | None = None) -> tuple[Job, ...]:
    """All jobs, or those in a state, in their order: priority, due day, number.

    Raises
    ------
    StorageError : a row that is no job.
    """
    query = select(JOB) if state is None else select(JOB).where(JOB.c.state == state.value)
    found = map(job_of, work.connection.execute(query).mappings())
    return tuple(sorted(found, key=lambda job: job.rank))


def jobs_by_key(work: Work, numbers: Iterable[str]) -> dict[str, Job]:
    """The jobs with these numbers, however they are written, by their keys."""
    keys = {work_key(number) for number in numbers}
    rows = (
        row
        for lot in in_lots(sorted(keys))
        for row in work.connection.execute(select(JOB).where(JOB.c.key.in_(lot))).mappings()
    )
    return {row["key"]: job_of(row) for row in rows}


def find_job(work: Work, number: str) -> Job | None:
    """The job that a text names by its number; None where there is none."""
    return jobs_by_key(work, [number]).get(work_key(number))


def load_job(work: Work, number: str) -> Job:
    """The same.

    Raises
    ------
    InputError : there is no such job; the message names the numbers most like it.
    """
    found = find_job(work, number)
    if found is None:
        numbers = sorted(work.connection.scalars(select(JOB.c.number)))
        like = ", ".join(get_close_matches(number.strip()[:100], numbers, n=3))
        near = f"the nearest: {like}" if like else "`broachplan jobs list` shows those there are"
        raise InputError("number", near, read=number, fault=": no such job")
    return found


def sharing_of(work: Work, started: Iterable[Job] | None = None) -> Sharing:
    """The marks between all jobs, and what the started ones use; ``started`` where they were read already."""
    using = load_jobs(work, JobState.STARTED) if started is None else started
    return Sharing(followed(work), closed_marks(work), ((job.number, job.pieces, job.held) for job in using))


def closed_marks(work: Work) -> dict[str, str]:
    """The keys of the jobs that are done or dropped and have a part in marks, each with that of the job it followed."""
    after = followed(work)
    closed = select(JOB.c.key).where(JOB.c.state.not_in([each.value for each in JobState if each.is_open]))
    marked = sorted({*after.keys(), *after.values()})
    keys = (
        key for lot in in_lots(marked) for key in work.connection.scalars(closed.where(JOB.c.key.in_(lot)))
    )
    return {key: after.get(key, "") for key in keys}


def followed(work: Work) -> dict[str, str]:
    """The key of each job that follows another, with that of the other."""
    query = select(JOB.c.key, JOB.c.after).where(JOB.c.after != "")
    return {key: work_key(after) for key, after in work.connection.execute(query)}


def keep_jobs(
    work: Work,
    stamp: Stamp,
    lines: Sequence[JobLine],
    pieces: Sequence[ActLine] = (),
    undoes: int | None = None,
) -> int | None:
    """Write jobs as they are after an act, and the act with its entries; its number, None where nothing is different.

    The caller commits; ``pieces`` is what the act did to pieces.
    """
    lines = [line for line in lines if line.changes]
    if not lines and not pieces:
        return None
    for line in lines:
        _write(work, line)
    action = record_anyway(work, stamp, pieces, undoes)
    rows = [
        {"action_id": action, "number": line.number, "act": line.act.value, "changes": written(line.changes)}
        for line in lines
    ]
    if rows:
        work.connection.execute(insert(JOB_ENTRY), rows)
    return action


def job_entries(work: Work, *, action: int | None = None, number: str | None = None) -> Iterator[JobEntry]:
    """What one action did to jobs, or what was done to one job, the latest first; else all there is.

    Raises
    ------
    StorageError : an entry that cannot be.
    """
    query = (
        select(*COLUMNS_OF_JOB_ENTRY)
        .join(ACTION, ACTION.c.id == JOB_ENTRY.c.action_id)
        .order_by(JOB_ENTRY.c.id.desc())
    )
    if action is not None:
        query = query.where(JOB_ENTRY.c.action_id == action)
    if number is not None:
        query = query.where(JOB_ENTRY.c.number == number)
    yield from (job_entry_of(*row) for row in work.connection.execute(query).all())


def entries_of_jobs(work: Work, actions: Sequence[int]) -> dict[int, list[JobEntry]]:
    """What each of some actions did to jobs, in the order in which it did; see `job_entries`."""
    found: dict[int, list[JobEntry]] = defaultdict(list)
    query = select(JOB_ENTRY.c.action_id, *COLUMNS_OF_JOB_ENTRY).join(
        ACTION, ACTION.c.id == JOB_ENTRY.c.action_id
    )
    for lot in in_lots(actions):
        of_lot = query.where(JOB_ENTRY.c.action_id.in_(lot)).order_by(JOB_ENTRY.c.id)
        for action, *row in work.connection.execute(of_lot).all():
            found[action].append(job_entry_of(*row))
    return found


def values_of(job: Job | None) -> dict[str, Value]:
    """What entries can be about, by name; what is not given has no value, and a job that is not there has none at all."""
    if job is None:
        return {}
    row = _row(job)
    own: dict[str, Value] = {name: row[name] for name in _OWN}
    asked = {name: job.question.get(name) for name in QUESTION}
    holds = {name: row[name] if row[name] != "[]" else None for name in ("pieces", "held")}
    return {**{name: None if value == "" else value for name, value in own.items()}, **asked, **holds}


def job_from(values: Mapping[str, Value]) -> Job | None:
    """The job of some values, as `values_of` gives them; None where there are none.

    Raises
    ------
    ValueError, InputError : no job has them.
    """
    if values.get("number") is None:
        return None
    texts = {name: values.get(name) or "" for name in ("after", "drawing", "note")}
    row = {**{name: values.get(name) for name in _OWN}, **texts}
    question = {name: text for name in QUESTION if (text := values.get(name)) is not None}
    holds = {name: values.get(name) or "[]" for name in ("pieces", "held")}
    return job_of({**row, **holds, "question": _as_json(question)})


def job_of(row: Mapping[Any, Any]) -> Job:
    """The job of one row.

    Raises
    ------
    StorageError : it is none.
    """
    try:
        return Job(
            number=row["number"],
            question=_texts(json.loads(row["question"])),
            due=date.fromisoformat(row["due"]),
            quantity=row["quantity"],
            days=row["days"],
            priority=row["priority"],
            press_by=date.fromisoformat(row["press_by"]) if row["press_by"] else None,
            after=row["after"],
            drawing=row["drawing"],
            note=row["note"],
            state=JobState(row["state"]),
            pieces=tuple(_listed(row["pieces"])),
            held=tuple(map(date.fromisoformat, _listed(row["held"]))),
        )
    except (ValueError, TypeError, InputError, RecursionError) as error:
        raise StorageError(f"the crib holds a job that cannot be, {row['number']}: {error}") from error


def _write(work: Work, line: JobLine) -> None:
    of_job = JOB.c.number == line.number
    if line.after is None:
        work.connection.execute(delete(JOB).where(of_job))
    elif line.before is None:
        work.connection.execute(insert(JOB).values(_row(line.after)))
    else:
        work.connection.execute(update(JOB).where(of_job).values(_row(line.after)))


def _row(job: Job) -> dict[str, Any]:
    return {
        "number": job.number,
        "key": work_key(job.number),
        "state": job.state.value,
        "due": job.due.isoformat(),
        "press_by": job.press_by.isoformat() if job.press_by else None,
        "quantity": job.quantity,
        "days": job.days,
        "priority": job.priority,
        "after": job.after,
        "drawing": job.drawing,
        "note": job.note,
        "question": _as_json({name: job.question[name] for name in QUESTION if name in job.question}),
        "pieces": _as_json(list(job.pieces)),
        "held": _as_json([day.isoformat() for day in job.held]),
    }


def job_entry_of(number: str, act: str, at: str, by: str, changes: str) -> JobEntry:
    """The entry of one row.

    Raises
    ------
    StorageError : the row is no entry that may be.
    """
    try:
        return JobEntry(number, word_kept(JobAct, act), moment_kept(at), by, read(changes))
    except ValueError as error:
        raise StorageError(f"the crib holds an entry of job {number} that cannot be: {error}") from error


def _as_json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def _texts(found: Any) -> dict[str, str]:
    known = isinstance(found, dict) and found.keys() <= set(QUESTION)
    if not known or not all(isinstance(text, str) and text for text in found.values()):
        raise ValueError("its question is not made of texts")
    return dict(found)


def _listed(text: str) -> list[str]:
    found = json.loads(text)
    if not isinstance(found, list) or not all(isinstance(each, str) for each in found):
        raise ValueError("what it holds is no list")
    return found
