"""Counts and drawers: what is open, what is settled, which drawer was not counted for long."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from broachplan.crib.count_words import named
from broachplan.crib.homes import Home
from broachplan.questions.reads import CountsRequest, DrawerRequest, OneCountRequest
from broachplan.sheets.listing import Ask, ListAct, ListOf, Next, Open
from broachplan.sheets.result import Column
from broachplan.sheets.table import (
    Field,
    View,
    columns_of,
    dicts_of,
    moment_words,
    plain,
    rows_of,
    table_lines,
)
from broachplan.shown import numbered
from broachplan.views.count_sheets import count_sheet, settled_sheet
from broachplan.views.today import today

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from broachplan.crib.counts import ComparedLine
    from broachplan.desks.attendant.count_drawer import Counted
    from broachplan.desks.attendant.list_counts import CountList, DrawerCounted, Head, ShownCount
    from broachplan.desks.attendant.settle_count import Settled

Item = TypeVar("Item")
MOST_SETTLED = 10
_WAITS = "the longest not counted first"


def result_words(head: Head) -> str:
    """How a count came out, and whether it waits to be settled."""
    if not head.differences:
        return "agreed"
    differ = f"{head.differences} differ{'s' if head.differences == 1 else ''}"
    return f"{differ}, settled" if head.settled else f"OPEN: {differ}"


def _of_drawer(each: DrawerCounted, view: View) -> str:
    scanned = view.begun.get(str(each.drawer))
    begun = f"BEGUN, {scanned} scanned" if scanned else ""
    result = result_words(each.last) if each.last else ""
    if each.open is not None:
        result = f"{result_words(each.open)}, count {each.open.number}"
    return "; ".join(filter(None, (begun, result)))


def _show(head: Head) -> Next:
    """A count that is open is settled, any other shown with its causes."""
    return Ask(
        OneCountRequest(number=head.number),
        lambda shown: count_sheet(shown) if shown.count.settled else _settle(shown),
    )


def _settle(shown: ShownCount | Counted) -> Next:
    """To the differences of a count."""
    return Open("settle", shown, _settled)


def _settled(settled: Settled | None) -> Next:
    if settled is None:
        return "The count stays open; F2 resumes it. The causes given are kept at this station."
    return settled_sheet(settled)


def _count(drawer: str) -> Next:
    """Count a drawer; on to the differences at once, where there are any."""
    return Open("count", drawer, _counted)


def _counted(counted: Counted | None) -> Next:
    if counted is None:
        return None
    return _settle(counted) if counted.differences else f"{named(counted.count)}."


def _means(each: DrawerCounted, typed: str) -> bool:
    return each.drawer.home.key == Home.read(typed).drawer.key


def _total(listed: CountList) -> str:
    homeless = f"; {numbered(listed.homeless, 'piece')} without a home" if listed.homeless else ""
    return f"{len(listed.open)} open, {len(listed.settled)} settled{homeless}"


COUNTS: ListOf[CountList, Head] = ListOf(
    heading="ALL COUNTS",
    hint="type a number, a drawer, a name, a day, or open",
    nothing="Nothing was counted yet.",
    fields=(
        Field(Column("count", right=True), lambda head: head.number, "number"),
        Field(Column("drawer", least=8), lambda head: str(head.drawer), "drawer"),
        Field(Column("counted"), lambda head: head.at, "at"),
        Field(Column("by", least=6, drops=1), lambda head: head.by, "by"),
        Field(None, lambda head: head.settled, "settled"),
        Field(Column("tags", right=True, drops=2), lambda head: head.tags, "tags"),
        Field(Column("result", least=16), lambda head: head.differences, "differences", lambda head, _: result_words(head)),
    ),
    request=CountsRequest,
    items=lambda listed: listed.counts,
    view=today,
    total=_total,
    opens=_show,
)  # fmt: skip
DRAWERS: ListOf[CountList, DrawerCounted] = ListOf(
    heading="COUNTS",
    hint="type a drawer such as A/1, or never, or open; enter counts it",
    nothing="No piece has a home, so there is no drawer to count.",
    # How many pieces live in a drawer is for other programs only: the person who counts must not know.
    fields=(
        Field(Column("drawer", least=10), lambda each: str(each.drawer), "drawer"),
        Field(None, lambda each: each.drawer.pieces, "pieces"),
        Field(None, lambda each: each.last.number if each.last else None, "last_count"),
        Field(Column("counted"), lambda each: each.last.at if each.last else None, "last_counted", lambda each, _: moment_words(each.last.at) if each.last else "never"),
        Field(Column("by", least=6, drops=1), lambda each: each.last.by if each.last else ""),
        Field(Column("result", least=16), lambda _: None, words=_of_drawer),
    ),
    request=CountsRequest,
    items=lambda listed: listed.drawers,
    view=today,
    total=lambda listed: f"{_total(listed)}; {_WAITS}",
    opens=lambda each: _count(str(each.drawer)),
    enter=("count", "Count the drawer that is typed, or the chosen one"),
    names=_means,
    typed=lambda typed: Ask(DrawerRequest(drawer=typed), _count),
    drafts=True,
    acts=(
        ListAct("f2", "settle", "settle", "Settle the open count of the chosen drawer: a cause for each difference", does=lambda _, each: _show(each.open) if each and each.open else None),
        ListAct("f3", "all", "all counts", "Every count, the latest first", does=lambda *_: Open("count_list")),
        ListAct("f4", "missing", "missing", "What the counts did not find", does=lambda *_: Open("missing")),
    ),
)  # fmt: skip


def counts_as_dict(listed: CountList) -> Mapping[str, object]:
    """All counts, the latest first, and the drawers, the longest not counted first."""
    return {
        "schema": "broachplan.counts/1",
        "counts": dicts_of(COUNTS.fields, listed.counts),
        "drawers": dicts_of(DRAWERS.fields, listed.drawers),
        "homeless": listed.homeless,
    }


def count_as_dict(shown: ShownCount) -> Mapping[str, object]:
    """A count with its lines by tag."""
    count = shown.count
    return {
        "schema": "broachplan.count/1",
        "number": count.number,
        "drawer": str(count.drawer),
        "at": plain(count.at),
        "by": count.by,
        "settled": plain(count.settled),
        "lines": [_line(each) for each in shown.seen],
    }


def counted_as_dict(counted: Counted) -> Mapping[str, object]:
    """A count just taken, and the tags that were given more than once."""
    return {**count_as_dict(counted), "twice": list(counted.twice)}


def counts_lines(listed: CountList, width: int, *, every: bool = False) -> Iterator[str]:
    """The open counts, the settled ones, and the drawers, as tables of a width."""
    settled = listed.settled if every else listed.settled[:MOST_SETTLED]
    for title, heads in (("open", listed.open), ("settled, the latest first", settled)):
        if heads:
            yield title
            yield from _table(COUNTS, heads, listed, width)
    if more := len(listed.settled) - len(settled):
        yield f"  and {more} more; --all shows them"
    if listed.drawers:
        yield f"drawers, {_WAITS}"
        yield from _table(DRAWERS, listed.drawers, listed, width)
    yield _total(listed)


def _table(
    of: ListOf[CountList, Item], items: Sequence[Item], listed: CountList, width: int
) -> Iterator[str]:
    return table_lines(columns_of(of.fields), rows_of(of.fields, items, of.view(listed)), width)


def _line(each: ComparedLine) -> dict[str, object]:
    line = each.line
    return {
        "tag": line.tag,
        "expected": line.expected,
        "found": line.found,
        "difference": line.mismatch.value or None,
        "cause": line.cause,
        "changed": each.changed,
        "nearest": list(each.nearest),
    }
