"""Counts in words, at 80 columns: what differs, what was corrected, which drawer waits for its count."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from broachplan.cli.layout import wrap
from broachplan.crib.count_words import MEANT, home_words, in_order, named, pieces_words, why_differs

if TYPE_CHECKING:
    from broachplan.crib.counts import ComparedLine
    from broachplan.crib.homes import Placed
    from broachplan.desks.attendant.count_drawer import Counted
    from broachplan.desks.attendant.list_counts import CountList, DrawerCounted, Head, ShownCount
    from broachplan.desks.attendant.settle_count import Settled

MOST_SETTLED = 10
_KIND = 9


def counted_in_words(counted: Counted) -> Iterator[str]:
    """How the drawer differs from the books, and what to do next."""
    yield named(counted.count)
    yield from _differences(counted.differences)
    if counted.twice:
        yield from wrap(f"scanned more than once, counted once: {', '.join(counted.twice)}", "", "  ")
    if counted.differences:
        yield f"settle it: broachplan crib settle {counted.count.number} --cause TAG=WORDS ..."


def count_in_words(shown: ShownCount) -> Iterator[str]:
    """One count with all its lines."""
    count = shown.count
    by = f" by {count.by}" if count.by else ""
    state = f"settled {_when(count.settled)}" if count.settled else "open"
    yield named(count)
    yield f"counted {_when(count.at)}{by}; {state}"
    if count.settled:
        for line in count.differences:
            yield from _line(line.mismatch, f"{line.tag}: {MEANT[line.mismatch]}; cause: {line.cause}")
    else:
        yield from _differences(shown.differences)
    if agreed := [line.tag for line in count.lines if not line.mismatch]:
        yield from _line("in order", ", ".join(agreed))


def settled_in_words(settled: Settled) -> Iterator[str]:
    """What the books say from now on, what is to be put back, and what was left as it is."""
    count = settled.count
    yield f"count {count.number} of {count.drawer} is settled: {len(settled.corrected)} corrected"
    for each in settled.corrected:
        yield from wrap(each.words, "  ", "    ")
    if settled.put_back:
        yield "put back"
        for piece in settled.put_back:
            yield from wrap(f"{piece.tag}: {home_words(piece.home)}", "  ", "    ")
    if settled.left:
        yield "not corrected; count it again"
        for why in settled.left:
            yield from wrap(why, "  ", "    ")


def counts_in_words(listed: CountList, *, every: bool = False) -> Iterator[str]:
    """The open counts, the settled ones, and the drawers."""
    shown = listed.settled if every else listed.settled[:MOST_SETTLED]
    for title, heads in (("open", listed.open), ("settled, the latest first", shown)):
        if heads:
            yield title
            for head in heads:
                yield from wrap(_head(head), "  ", "    ")
    if more := len(listed.settled) - len(shown):
        yield f"  and {more} more; --all shows them"
    if listed.drawers:
        yield "drawers, the longest not counted first"
        for each in listed.drawers:
            yield from wrap(_drawer(each), "  ", "    ")
    homeless = f"; {pieces_words(listed.homeless)} without a home" if listed.homeless else ""
    yield f"{len(listed.open)} open, {len(listed.settled)} settled{homeless}"


def missing_in_words(pieces: Sequence[Placed]) -> Iterator[str]:
    """A line for each missing piece."""
    for piece in pieces:
        status = piece.status
        yield from wrap(
            f"{piece.tag}, a {status.kind}: missing since {status.missing_since}; {home_words(piece.home)}",
            "  ",
            "    ",
        )
    yield f"{pieces_words(len(pieces))} missing"


def _differences(seen: Sequence[ComparedLine]) -> Iterator[str]:
    for each in in_order(seen):
        changed = f"; {each.changed}" if each.changed else ""
        yield from _line(each.line.mismatch, f"{each.line.tag}: {why_differs(each)}{changed}")


def _line(kind: str, words: str) -> list[str]:
    return wrap(words, f"  {kind:<{_KIND}}", " " * (_KIND + 4))


def _head(head: Head) -> str:
    by = f" by {head.by}" if head.by else ""
    return f"{head.number}  {head.drawer}, {_when(head.at)}{by}: {head.differences} of {head.tags} differ"


def _drawer(each: DrawerCounted) -> str:
    when = f"{_when(each.last.at)}, count {each.last.number}" if each.last else "never counted"
    return f"{each.drawer} ({pieces_words(each.drawer.pieces)}): {when}"


def _when(moment: datetime) -> str:
    return moment.astimezone().strftime("%Y-%m-%d %H:%M")
