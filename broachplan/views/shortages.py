"""What becomes of the coming jobs, as the buyer reads it: the parts of one page, for text, screen and paper alike."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from broachplan.buying.verdicts import Verdict
from broachplan.sheets.result import Column, NamedValue, ResultSheet, Sentence, SheetBlock, SheetGrid
from broachplan.sheets.table import Field, View, columns_of, rows_of
from broachplan.shown import numbered
from broachplan.views.basket import basket_blocks
from broachplan.views.day_words import named_day, short_day, span_of_days, whole_day
from broachplan.views.ways_out import first_way_out, what_is_missing

if TYPE_CHECKING:
    from datetime import date

    from broachplan.buying.start_by import StartBy
    from broachplan.desks.buyer.shortages import JobShortage, OnItsWay, Shortages

LATE = "LATE"
CANNOT, CAN = "Cannot be cut yet", "Can be cut"
START, SAME_DAY, ON_ITS_WAY = "Start by", "Same broach, same day", "On its way"


class PagePart(NamedTuple):
    """Some lines of the page under their heading."""

    heading: str
    lines: tuple[str, ...]


def _due(one: JobShortage, view: View) -> str:
    late = f" {LATE}" if one.days.late else ""
    return f"{short_day(one.job.due, view.on)}{late}"


# The jobs that cannot be cut yet, a row each.
NOT_YET: tuple[Field[JobShortage], ...] = (
    Field(Column("due"), lambda one: one.job.due, "due", _due),
    Field(Column("job", least=6, tags=True), lambda one: one.job.number, "number"),
    Field(Column("qty", right=True), lambda one: one.job.quantity, "quantity"),
    Field(
        Column("what is missing", least=18),
        lambda one: one.judged.verdict,
        words=lambda one, view: what_is_missing(one, view.units),
    ),
    Field(
        Column("first way out", least=18),
        lambda one: one.judged.why,
        words=lambda one, view: first_way_out(one, view.units, view.on),
    ),
)


def _with(one: JobShortage) -> str:
    if one.made is None:
        return ", ".join(one.job.pieces)
    press = f" on {one.made.press.tag}" if one.made.press else ""
    return f"{one.made.broach.tag} in {one.made.bushing.tag}{press}"


READY: tuple[Field[JobShortage], ...] = (
    Field(Column("due"), lambda one: one.job.due, words=_due),
    Field(Column("job", least=6, tags=True), lambda one: one.job.number),
    Field(Column("qty", right=True), lambda one: one.job.quantity),
    Field(Column("with", least=14, drops=1), _with),
    Field(Column("waits for", least=8, tags=True), lambda one: ", ".join(one.judged.waits_for)),
)


def view_of(found: Shortages) -> View:
    """The day that it was asked on and the shop's units."""
    return View(found.on, found.settings.shown_in)


def heading_of(found: Shortages) -> str:
    """How many can be cut and how many cannot."""
    ready = sum(one.ready for one in found.jobs)
    late = sum(one.days.late for one in found.jobs)
    return (
        f"{numbered(len(found.jobs), 'job')} to come: {ready} can be cut, {len(found.jobs) - ready} cannot yet"
        f"{f', {late} {LATE}' if late else ''}"
    )


def parts_of(found: Shortages) -> tuple[PagePart, ...]:
    """What is said below the jobs: when to begin, one broach on one day, what is on its way."""
    return (
        PagePart(START, tuple(_to_begin(found))),
        PagePart(SAME_DAY, tuple(_same_day(found))),
        PagePart(ON_ITS_WAY, tuple(_on_its_way(found.on_its_way, found.on))),
    )


def shortages_sheet(found: Shortages) -> ResultSheet:
    """The whole page with the reason of every job and the jobs that can be cut."""
    view, waiting = view_of(found), found.not_ready
    blocks = [_table(CANNOT, NOT_YET, waiting, view)]
    blocks.append(SheetBlock("Why", tuple(_why(one) for one in waiting if one.judged.why)))
    blocks += [
        SheetBlock(part.heading, tuple(map(Sentence, part.lines))) for part in parts_of(found) if part.lines
    ]
    if found.buy is not None:
        reasons = {one.job.number: one.judged.why.text for one in waiting if one.judged.why}
        blocks += basket_blocks(found.buy, view, reasons)
    blocks.append(_table(CAN, READY, [one for one in found.jobs if one.ready], view))
    title = f"{whole_day(found.on)}, {heading_of(found)}"
    remark = () if found.proven else ("it is not proven that no other choice readies more of them",)
    return ResultSheet(title, title, tuple(block for block in blocks if block.lines), remarks=remark)


def _table(
    heading: str, fields: tuple[Field[JobShortage], ...], jobs: Sequence[JobShortage], view: View
) -> SheetBlock:
    grid = SheetGrid(columns_of(fields), tuple(rows_of(fields, jobs, view)))
    return SheetBlock(heading, (grid,) if jobs else ())


def _why(one: JobShortage) -> NamedValue:
    assert one.judged.why is not None
    return NamedValue(one.job.number, one.judged.why.text, one.job.number[:10])


def _to_begin(found: Shortages) -> Iterator[str]:
    """When to begin what the shop makes; jobs whose day is not known, because no days are set, in one line."""
    unknown = [each for each in found.to_begin if each.day is None]
    for each in found.to_begin:
        if each.day is not None:
            yield f"{_begin_day(each, found.on)}: {_kinds([each])} for {each.number} (shop time {numbered(each.days or 0, 'day')}, wanted {named_day(each.wanted, found.on)})"
    if unknown:
        kinds = dict.fromkeys(kind for each in unknown for kind in each.kinds)
        names = " and ".join(f"make_{kind}_days" for kind in kinds)
        numbers = ", ".join(each.number for each in unknown)
        yield f"not known for {numbers}; set {names}"


def _begin_day(each: StartBy, on: date) -> str:
    assert each.day is not None
    if each.late:
        return f"TOO LATE, {named_day(each.day, on)} is past"
    return named_day(each.day, on)


def _kinds(begins: Iterable[StartBy]) -> str:
    return " and ".join(dict.fromkeys(kind.value for each in begins for kind in each.kinds))


def _same_day(found: Shortages) -> Iterator[str]:
    """Each job that clashes, after those that have its pieces; jobs alike that can be run as one."""
    by_number = {one.job.number: one for one in found.jobs}
    for one in found.not_ready:
        if one.judged.verdict is not Verdict.CLASH:
            continue
        others = [
            by_number[number]
            for number in dict.fromkeys(each.number for each in one.in_use) or one.judged.clashes_with
        ]
        days = span_of_days(one.days.days[0], one.days.days[-1], found.on)
        jobs = ", ".join(_hubs(each) for each in (*others, one))
        tags = ", ".join(each.tag for each in one.in_use)
        alike = f"; can be run as one with {', '.join(one.judged.alike)}" if one.judged.alike else ""
        yield f"{days}  {jobs}{f': {tags}' if tags else ''}. One after the other?{alike}"


def _hubs(one: JobShortage) -> str:
    return f"{one.job.number} ({numbered(one.job.quantity, 'hub')})"


def _on_its_way(coming: Sequence[OnItsWay], on: date) -> Iterator[str]:
    for each in coming:
        what = (
            f"{each.tag} on order, expected {short_day(each.day, on)}"
            if not each.borrower
            else f"{each.tag} with {each.borrower}, due back {short_day(each.day, on)}"
        )
        waits = (
            f"; {', '.join(each.jobs)} {'waits' if len(each.jobs) == 1 else 'wait'} for it"
            if each.jobs
            else ""
        )
        yield f"{f'{LATE}: ' if each.late else ''}{what}{waits}"
    nothing = [] if any(not each.borrower for each in coming) else ["nothing on order"]
    nothing += [] if any(each.late for each in coming) else ["nothing late"]
    if nothing:
        yield ", ".join(nothing)
