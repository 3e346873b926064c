"""What is out: with whom, since when; what is overdue first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from broachplan.crib.people import folded
from broachplan.crib.status_words import OVERDUE
from broachplan.questions.reads import OutRequest
from broachplan.sheets.listing import ListOf
from broachplan.sheets.result import Column, NamedValue, ResultSheet, SheetBlock, SheetGrid
from broachplan.sheets.table import TAG, Field, View, columns_of, rows_of
from broachplan.shown import numbered

if TYPE_CHECKING:
    from broachplan.desks.attendant.list_out import Out, OutList, OutTogether


def _total(listed: OutList) -> str:
    late = sum(piece.overdue for piece in listed)
    out = f"{numbered(len(listed.pieces), 'piece')} out"
    return f"{out}, {late} {OVERDUE}" if late else out


def _held(out: Out | OutTogether) -> ResultSheet | None:
    """The pieces of a set that are out together; a piece opens by itself."""
    pieces = getattr(out, "pieces", ())
    title = f"{out.tag}: {numbered(len(pieces), 'piece')} with {out.loan.to}"
    lines = tuple(NamedValue(piece.tag, piece.kind.value) for piece in pieces)
    return ResultSheet(title, title, (SheetBlock("", lines),)) if pieces else None


def _about(out: Out | OutTogether, _: View) -> str:
    over = out.finished_with
    if out.loan.sent:
        return "sent out to be reground or repaired; receive it when it is back, and inspect it"
    return f"finished with: run {over} is over; take it back and inspect it" if over else ""


OUT: ListOf[OutList, Out | OutTogether] = ListOf(
    heading="OUT",
    hint="scan or type a tag, a name, a job, or overdue",
    nothing="Nothing is out.",
    schema="broachplan.out/1",
    key="pieces",
    order=("tag", "kind", "to", "since", "due", "job", "overdue", "finished_with", "sent"),
    fields=(
        Field(Column("late"), lambda out: out.overdue, "overdue", lambda out, _: OVERDUE * out.overdue),
        Field(TAG, lambda out: out.tag, "tag"),
        Field(Column("kind", drops=2), lambda out: out.kind, "kind"),
        Field(Column("with", least=8), lambda out: out.loan.to, "to"),
        Field(Column("since"), lambda out: out.loan.since, "since"),
        Field(Column("due"), lambda out: out.loan.due, "due"),
        Field(Column("job", least=4, drops=1), lambda out: out.loan.job, "job"),
        Field(None, lambda out: out.finished_with, "finished_with"),
        Field(None, lambda out: out.loan.sent, "sent"),
    ),
    request=OutRequest,
    items=lambda listed: listed.pieces,
    lines=lambda listed: listed.lines,
    opens=_held,
    view=lambda listed: View(listed.on),
    head=lambda listed: {"on": str(listed.on)},
    total=_total,
    tag=lambda out: out.tag,
    about=_about,
)

# What a line of the overdue sheet says beside the name above it.
_OF_ONE = tuple(each for each in OUT.fields if each.key in ("tag", "kind", "since", "due", "job"))


def overdue_sheet(listed: OutList) -> ResultSheet:
    """What should have been back on that day, under the name of each person who has some of it."""
    view, late = View(listed.on), [line for line in listed.lines if line.overdue]
    by_person: dict[str, list[Out | OutTogether]] = {}
    for line in late:
        by_person.setdefault(folded(line.loan.to), []).append(line)
    blocks = tuple(
        SheetBlock(lines[0].loan.to, (SheetGrid(columns_of(_OF_ONE), tuple(rows_of(_OF_ONE, lines, view))),))
        for lines in by_person.values()
    )
    pieces = sum(piece.overdue for piece in listed)
    with_whom = f" with {numbered(len(by_person), 'person', 'people')}" if late else ""
    title = f"Overdue on {listed.on}: {numbered(pieces, 'piece')}{with_whom}"
    return ResultSheet(title, f"{numbered(pieces, 'piece')} overdue", blocks)
