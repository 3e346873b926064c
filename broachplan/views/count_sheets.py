"""One count as a sheet: what differs, why, and what settling did."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from broachplan.crib.count_words import MEANT, SHORT, home_words, in_order, named, why_differs
from broachplan.sheets.result import NamedValue, ResultSheet, Sentence, SheetBlock
from broachplan.sheets.table import moment_words

if TYPE_CHECKING:
    from broachplan.crib.counts import ComparedLine
    from broachplan.desks.attendant.count_drawer import Counted
    from broachplan.desks.attendant.list_counts import ShownCount
    from broachplan.desks.attendant.settle_count import Settled


def counted_sheet(counted: Counted) -> ResultSheet:
    """How the drawer differs from the books, and what to do next."""
    notes = []
    if counted.twice:
        notes.append(Sentence(f"scanned more than once, counted once: {', '.join(counted.twice)}"))
    if counted.differences:
        notes.append(
            Sentence(f"settle it: broachplan crib settle {counted.count.number} --cause TAG=WORDS ...")
        )
    title = named(counted.count)
    return ResultSheet(title, title, (SheetBlock("", (*_differences(counted.differences), *notes)),))


def count_sheet(shown: ShownCount) -> ResultSheet:
    """One count with all its lines."""
    count, title = shown.count, named(shown.count)
    by = f" by {count.by}" if count.by else ""
    state = f"settled {moment_words(count.settled)}" if count.settled else "open"
    lines: list[NamedValue | Sentence] = [Sentence(f"counted {moment_words(count.at)}{by}; {state}")]
    if count.settled:
        lines += (
            NamedValue(SHORT[line.mismatch], f"{line.tag}: {MEANT[line.mismatch]}; cause: {line.cause}")
            for line in count.differences
        )
    else:
        lines += _differences(shown.differences)
    if agreed := [line.tag for line in count.lines if not line.mismatch]:
        lines.append(NamedValue("in order", ", ".join(agreed)))
    return ResultSheet(title, title, (SheetBlock("", tuple(lines)),))


def settled_sheet(settled: Settled) -> ResultSheet:
    """What the books say from now on, what is to be put back, and what was left as it is."""
    count = settled.count
    title = f"count {count.number} of {count.drawer} is settled: {len(settled.corrected)} corrected"
    parts = (
        ("Corrected", [each.words for each in settled.corrected]),
        ("Put back", [f"{piece.tag}: {home_words(piece.home)}" for piece in settled.put_back]),
        ("Not corrected; count it again", settled.left),
    )
    blocks = tuple(SheetBlock(name, tuple(map(Sentence, lines))) for name, lines in parts if lines)
    nothing = "Nothing in the books had to be corrected; the causes are kept with the count."
    return ResultSheet(title, title, blocks or (SheetBlock("", (Sentence(nothing),)),))


def difference_words(each: ComparedLine) -> str:
    """How a piece differs, and what was changed since."""
    changed = f"; {each.changed}" if each.changed else ""
    return f"{each.line.tag}: {why_differs(each)}{changed}"


def _differences(seen: Iterable[ComparedLine]) -> list[NamedValue]:
    return [NamedValue(SHORT[each.line.mismatch], difference_words(each)) for each in in_order(tuple(seen))]
