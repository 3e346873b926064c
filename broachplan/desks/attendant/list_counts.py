"""The counts of the drawers: what is open, what is settled, and which drawer was not counted for long."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.crib.counts import ComparedLine, Count, CountLine, Mismatch
from broachplan.crib.homes import Drawer
from broachplan.questions.reads import CountsRequest, OneCountRequest
from broachplan.store.counts import Head, count_numbered, drawers, heads, homeless, seen
from broachplan.store.work import reading

__all__ = [
    "ComparedLine",
    "Count",
    "CountLine",
    "CountList",
    "DrawerCounted",
    "Head",
    "Mismatch",
    "ShownCount",
    "list_counts",
    "show_count",
]


@dataclass(frozen=True, slots=True)
class ShownCount:
    """A count, and its lines beside the books of now."""

    count: Count
    seen: tuple[ComparedLine, ...]

    @property
    def differences(self) -> tuple[ComparedLine, ...]:
        """The lines where the books and the drawer differ."""
        return tuple(each for each in self.seen if each.line.mismatch)


@dataclass(frozen=True, slots=True)
class DrawerCounted:
    """A drawer, its last count, None where it was never counted, and its latest open one."""

    drawer: Drawer
    last: Head | None
    open: Head | None = None


@dataclass(frozen=True, slots=True)
class CountList:
    """All counts, the latest first; the drawers, the longest not counted first; pieces that no drawer is home to."""

    counts: tuple[Head, ...]
    drawers: tuple[DrawerCounted, ...]
    homeless: int

    @property
    def open(self) -> tuple[Head, ...]:
        """Those with differences that are not settled."""
        return tuple(head for head in self.counts if head.settled is None)

    @property
    def settled(self) -> tuple[Head, ...]:
        """The others; those that agreed with the books are settled by that."""
        return tuple(head for head in self.counts if head.settled is not None)


def list_counts(db: str | None, _: CountsRequest) -> CountList:
    """The counts and the drawers.

    Raises
    ------
    StorageError : the database cannot be used.
    """
    with reading(db) as work:
        counts, known, without = heads(work), drawers(work), homeless(work)
    last: dict[tuple[str, ...], Head] = {}
    waits: dict[tuple[str, ...], Head] = {}
    for head in counts:
        last.setdefault(head.drawer.key, head)
        if head.settled is None:
            waits.setdefault(head.drawer.key, head)
    counted = (
        DrawerCounted(drawer, last.get(drawer.home.key), waits.get(drawer.home.key)) for drawer in known
    )
    return CountList(counts, tuple(sorted(counted, key=_longest_not_counted)), without)


def show_count(db: str | None, request: OneCountRequest) -> ShownCount:
    """One count with all its lines.

    Raises
    ------
    InputError : there is no count of that number.
    StorageError : the database cannot be used.
    """
    with reading(db) as work:
        count = count_numbered(work, request.number)
        return ShownCount(count, seen(work, count))


def _longest_not_counted(each: DrawerCounted) -> tuple[object, ...]:
    when = each.last.at.timestamp() if each.last else float("-inf")
    return (when, each.drawer.home.order)
