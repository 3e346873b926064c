"""What was done, in words: one entry of a piece's history, one action on the crib, and the list of the last actions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from broachplan.crib.entries import (
    DUE,
    HELD,
    IN_ITS_ACT,
    JOB,
    LENT_TO,
    OF_LOAN,
    SINCE,
    Act,
    Change,
    Entry,
    day_held,
)  # fmt: skip
from broachplan.crib.holds import runs
from broachplan.crib.status_words import days_words
from broachplan.questions.acts import UndoRequest
from broachplan.questions.reads import ActionsRequest
from broachplan.sheets.listing import Ask, Confirm, ListAct, ListOf, Next
from broachplan.sheets.result import Column, ResultSheet, Sentence, SheetBlock
from broachplan.sheets.table import Field, moment_words
from broachplan.shown import numbered
from broachplan.views.today import today

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from datetime import date

    from broachplan.desks.attendant.list_actions import Action, Touched
    from broachplan.desks.attendant.show_piece import HistoryLine
    from broachplan.desks.attendant.undo import Undone
    from broachplan.jobs.entries import JobEntry


# An import of jobs is one act on thousands of them.
MOST_JOBS_SHOWN = 20


def act_words(entry: Entry | JobEntry) -> str:
    """What was done, and where that was a loan, to whom or from whom and on what terms."""
    loan = {change.name: (change.old, change.new) for change in entry.changes if change.name in OF_LOAN}
    before, after = loan.get(LENT_TO, (None, None))
    if entry.act in (Act.LOST, Act.BROKEN) and before is not None:
        (since, _), (job, _) = loan[SINCE], loan.get(JOB, (None, None))
        return f"{entry.act}, with {before} since {since}{f', job {job}' if job else ''}"
    if entry.act is Act.UNDONE and after != before:
        return f"undone, lent to {after} again" if after is not None else f"undone, not lent to {before}"
    if after is not None:
        terms = [f", {name} {loan[name][1]}" for name in (DUE, JOB) if name in loan and loan[name][1]]
        return f"{entry.act} to {after}{''.join(terms)}"
    return f"{entry.act} from {before}" if before is not None else entry.act.value


def difference_words(line: HistoryLine) -> Iterator[str]:
    """What became different, days held or free, and the note."""
    for change, difference in zip(line.entry.changes, line.differences, strict=True):
        if change.name not in IN_ITS_ACT and not change.name.startswith(HELD):
            yield difference.words
    yield from _hold_words(line.entry.changes)
    if line.entry.note:
        yield f"note: {line.entry.note}"


def history_block(history: Sequence[HistoryLine]) -> SheetBlock:
    """What was done to a piece, the latest first: when, what, by whom; then what became different."""
    lines = []
    for line in history:
        by = f" by {line.entry.by}" if line.entry.by else ""
        number = f"act {line.entry.number}  " if line.entry.number else ""
        lines.append(Sentence(f"{moment_words(line.entry.at)}  {number}{act_words(line.entry)}{by}"))
        lines += [Sentence(words, "  ") for words in difference_words(line)]
    nothing = Sentence("Nothing was done to it since the history began.")
    return SheetBlock("History, the latest first", tuple(lines) or (nothing,))


def done_words(done: Action) -> str:
    """One action in a line: what was done to which pieces."""
    if done.of_run:
        return done.of_run
    if done.jobs:
        return "; ".join(job_words(done.jobs))
    first = done.first[0]
    more = f" and {done.pieces - 1} more" if done.pieces > 1 else ""
    return "; ".join((f"{first.tag}{more}: {act_words(first.line.entry)}", *difference_words(first.line)))


def job_words(jobs: Sequence[JobEntry]) -> Iterator[str]:
    """What was done to jobs: of one what became different, of several how many."""
    first = jobs[0]
    more = f" and {len(jobs) - 1:,} more" if len(jobs) > 1 else ""
    yield f"job {first.number}{more}: {first.act}"
    if len(jobs) == 1:
        yield from first.differences


def done_sheet(done: Action) -> ResultSheet:
    """One action with its first pieces."""
    by = f" by {done.by}" if done.by else ""
    what = [numbered(len(done.jobs), "job")] if done.jobs else []
    what += [numbered(done.pieces, "piece")] if done.pieces or not what else []
    title = f"act {done.number}, {moment_words(done.at)}{by}, {', '.join(what)}"
    blocks = [SheetBlock(done.of_run)] if done.of_run else []
    blocks += [
        SheetBlock(f"job {each.number}: {each.act}", tuple(map(Sentence, each.differences)))
        for each in done.jobs[:MOST_JOBS_SHOWN]
    ]
    if (left := len(done.jobs) - MOST_JOBS_SHOWN) > 0:
        blocks.append(SheetBlock(f"and {left:,} more jobs"))
    blocks += [_touched(touched) for touched in done.first]
    if (left := done.pieces - len(done.first)) > 0:
        blocks.append(SheetBlock(f"and {left} more"))
    return ResultSheet(title, title, tuple(blocks))


def undone_words(undone: Sequence[Undone]) -> str:
    """What was taken back."""
    first = undone[0]
    more = f" and {len(undone) - 1} more" if len(undone) > 1 else ""
    by = f" by {first.entry.by}" if first.entry.by else ""
    return f"undone: {first.tag}{more}, {act_words(first.entry)} {moment_words(first.entry.at)}{by}"


def _undo(_: Sequence[Action], chosen: Action | None) -> Next:
    """Undoing shows what of the chosen action it would take back, asks, and takes back nothing else."""
    if chosen is None:
        return None
    number, said = chosen.number, "This is taken back; the history keeps both:"
    if chosen.undoes is not None:
        return f"Act {number} undid act {chosen.undoes}, and an undoing is not undone; choose another act."
    if chosen.undone:
        return f"Act {number} is undone already; choose another act."
    return Confirm(
        f"Undo act {number}?",
        said,
        done_sheet(chosen),
        lambda by: Ask(UndoRequest(action=number, by=by), undone_words),
    )


ACTIONS: ListOf[Sequence[Action], Action] = ListOf(
    heading="HISTORY",
    hint="scan or type a tag, a name, what was done, a day, or an act's number",
    nothing="Nothing was done since the history began.",
    fields=(
        Field(Column("act", right=True), lambda done: done.number),
        Field(Column("when"), lambda done: done.at),
        Field(Column("by", least=6), lambda done: done.by),
        Field(Column("", drops=1), lambda done: "undone" if done.undone else "undoing" if done.undoes is not None else ""),
        Field(Column("what", least=20), done_words),
    ),
    request=ActionsRequest,
    view=today,
    total=lambda actions: f"the last {numbered(len(actions), 'action')}, the latest first",
    opens=done_sheet,
    names=lambda done, typed: typed == str(done.number),
    acts=(
        ListAct("f4", "undo", "undo", "Take back the chosen act, if nothing was done since to its pieces; asks first", does=_undo),
    ),
)  # fmt: skip


def _touched(touched: Touched) -> SheetBlock:
    heading = f"{touched.tag}, a {touched.kind.value}: {act_words(touched.line.entry)}"
    return SheetBlock(heading, tuple(map(Sentence, difference_words(touched.line))))


def _hold_words(changes: Iterable[Change]) -> list[str]:
    """Days that became held or free, those that follow each other in one line."""
    held: dict[date, str] = {}
    free: dict[date, str] = {}
    for change in changes:
        day = day_held(change.name)
        if day is not None and change.new:
            held[day] = str(change.new)
        elif day is not None:
            free[day] = str(change.old)
    said = [f"held {days_words(first, last)} for {what}" for what, first, last in runs(held)]
    return said + [f"released {days_words(first, last)} from {what}" for what, first, last in runs(free)]
