"""What a change of one job does to the verdicts, in words: shown before it is confirmed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from broachplan.buying.verdicts import Verdict
from broachplan.sheets.result import ResultSheet, Sentence, SheetBlock
from broachplan.shown import numbered

if TYPE_CHECKING:
    from broachplan.desks.buyer.what_if import JobDifference, VerdictChange

_WORDS = {
    Verdict.READY: "can be cut",
    Verdict.CLASH: "another job has its pieces",
    Verdict.BLOCKED: "cannot be cut yet",
}


def difference_sheet(found: JobDifference) -> ResultSheet:
    """The job's own verdict before and after, then the other jobs that get another one."""
    lines = [Sentence(text, "- ") for text in _lines(found)]
    before, after = found.ready
    title = (
        f"jobs that can be cut: {before} now, {after} then"
        if before != after
        else f"{numbered(after, 'job')} can be cut, as now"
    )
    remarks = () if found.proven else ("it is not proven that no other choice readies more of them",)
    return ResultSheet(title, title, (SheetBlock("", tuple(lines)),), remarks=remarks)


def _lines(found: JobDifference) -> Iterator[str]:
    yield change_words(found.own)
    yield from (change_words(each) for each in found.others)
    if not found.others:
        yield "no other job gets another verdict"


def change_words(each: VerdictChange) -> str:
    """The verdict that a job would get, and its verdict now."""
    if each.after is None:
        return f"{each.number}: not in the list any more"
    if each.before is None:
        return f"{each.number}: {_WORDS[each.after]}"
    if each.before is each.after:
        return f"{each.number}: {_WORDS[each.after]}, as now"
    return f"{each.number}: {_WORDS[each.after]}; now: {_WORDS[each.before]}"
