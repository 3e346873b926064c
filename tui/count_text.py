"""Counts as rows of a list and as texts: drawers, counts, differences, what was settled, what is missing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from rich.text import Text

from broachplan.crib.count_words import MEANT, home_words, why_differs
from broachplan.crib.counts import MAY_MOVE, ComparedLine, Mismatch
from tui.drafts import Causes
from tui.piece_text import hung, when_words
from tui.plain import plain
from tui.widgets.ledger import Column, Row

if TYPE_CHECKING:
    from broachplan.crib.homes import Home, Placed
    from broachplan.desks.attendant.list_counts import CountList, DrawerCounted, Head, ShownCount
    from broachplan.desks.attendant.settle_count import Settled

# The ready causes, each told by one key.
READY_LINE = "F3 wrong place  F4 without a word  F5 broken  F6 not known  F8 same for rest"
READY = (
    "put in the wrong place",
    "taken or brought back without a word",
    "broken or thrown away",
    "not known",
)
DRAWER_COLUMNS = (
    Column("drawer", least=10),
    Column("counted"),
    Column("by", least=6, drops=1),
    Column("came out", least=16),
)
COUNT_COLUMNS = (
    Column("count", right=True),
    Column("drawer", least=8),
    Column("counted"),
    Column("by", least=6, drops=1),
    Column("tags", right=True, drops=2),
    Column("came out", least=16),
)
DIFFERENCE_COLUMNS = (
    Column("tag", least=10, tags=True),
    Column("found", least=10),
    Column("cause", least=16),
    Column("then", least=12),
)
MISSING_COLUMNS = (
    Column("tag", least=10, tags=True),
    Column("kind", drops=1),
    Column("missing since"),
    Column("home", least=8),
    Column("set", least=6, drops=2),
)
_SHORT = {
    Mismatch.ABSENT: "not here",
    Mismatch.STRAY: "strayed in",
    Mismatch.BACK: "here, lent",
    Mismatch.FOUND: "turned up",
    Mismatch.RETIRED: "retired",
    Mismatch.UNKNOWN: "no such tag",
}
_WIDTH = 84


def drawer_row(each: DrawerCounted, open_count: Head | None, begun: int | None) -> Row:
    """One drawer, when it was last counted, and how that came out; nothing of what lives in it."""
    last = each.last
    parts = [f"BEGUN, {begun} scanned"] if begun is not None else []
    if open_count is not None:
        parts.append(f"OPEN: {came_out(open_count)}, count {open_count.number}")
    elif last is not None:
        parts.append(came_out(last))
    when = when_words(last.at) if last else "never"
    return (str(each.drawer), when, last.by if last else "", "; ".join(parts))


def count_row(head: Head) -> Row:
    """One count."""
    state = "" if head.settled else "OPEN: "
    return (
        str(head.number),
        str(head.drawer),
        when_words(head.at),
        head.by,
        str(head.tags),
        f"{state}{came_out(head)}",
    )


def came_out(head: Head) -> str:
    """How a count came out."""
    if not head.differences:
        return "agreed"
    differ = f"{head.differences} differ{'s' if head.differences == 1 else ''}"
    return f"{differ}, settled" if head.settled else differ


def open_counts(listed: CountList) -> Mapping[tuple[str, ...], Head]:
    """The latest open count of each drawer that has one."""
    return {head.drawer.key: head for head in reversed(listed.open)}


def difference_row(each: ComparedLine, causes: Causes, drawer: Home) -> Row:
    """One difference, its cause, and what settling does about it."""
    tag = each.line.tag
    return (tag, _SHORT[each.line.mismatch], causes.words.get(tag, ""), then_words(each, causes, drawer))


def may_stay(each: ComparedLine) -> bool:
    """Whether a piece was found where it does not live, so that it may stay there."""
    return each.line.mismatch in MAY_MOVE and not each.changed and each.books is not None


def then_words(each: ComparedLine, causes: Causes, drawer: Home) -> str:
    """What settling does: corrects the books, has a piece put back, or nothing."""
    mismatch, tag = each.line.mismatch, each.line.tag
    if each.changed or each.books is None or mismatch is Mismatch.RETIRED:
        return "noted only"
    stays = f"stays: {drawer.at(causes.stays[tag])}" if tag in causes.stays else ""
    home = stays or (f"goes to {each.books.home}" if each.books.home else "has no home")
    if mismatch is Mismatch.ABSENT:
        return "is missing"
    if mismatch is Mismatch.STRAY:
        return home
    return f"{'is back' if mismatch is Mismatch.BACK else 'is found'}; {home}"


def difference_words(each: ComparedLine) -> str:
    """The chosen difference in full."""
    mismatch = each.line.mismatch
    meant = "found here; " if mismatch is Mismatch.STRAY and not each.changed else ""
    changed = f"; {each.changed}, so it is not corrected" if each.changed else ""
    return plain(f"{each.line.tag}: {meant}{why_differs(each)}{changed}")


def count_text(shown: ShownCount) -> Text:
    """A count that is settled, with all its lines."""
    count = shown.count
    by = f" by {count.by}" if count.by else ""
    text = Text(f"counted {when_words(count.at)}{plain(by)}")
    text.append(f", settled {when_words(count.settled)}\n\n" if count.settled else ", open\n\n")
    for line in count.differences:
        cause = f"; cause: {line.cause}" if line.cause else ""
        text.append(hung(f"{line.tag}: {MEANT[line.mismatch]}{cause}", _WIDTH, ""))
    if agreed := [line.tag for line in count.lines if not line.mismatch]:
        text.append(hung(f"where the books have them: {', '.join(agreed)}", _WIDTH, ""))
    text.rstrip()
    return text


def settled_text(settled: Settled) -> Text:
    """What the books say from now on, what is to be put back, and what was left as it is."""
    text = Text()
    for title, lines in (
        ("Corrected", [each.words for each in settled.corrected]),
        ("Put back", [f"{piece.tag}: {home_words(piece.home)}" for piece in settled.put_back]),
        ("Not corrected; count it again", settled.left),
    ):
        _block(text, title, lines)
    if not text:
        text.append("Nothing in the books had to be corrected; the causes are kept with the count.")
    text.rstrip()
    return text


def _block(text: Text, title: str, lines: Iterable[str]) -> None:
    found = list(lines)
    if found:
        text.append(f"{title}\n", "bold")
        for line in found:
            text.append(hung(line, _WIDTH))
        text.append("\n")


def missing_row(piece: Placed) -> Row:
    """One piece that no count has found since."""
    status = piece.status
    since = str(status.missing_since or "")
    return (piece.tag, status.kind.value, since, piece.home or "no home", piece.set_name)
