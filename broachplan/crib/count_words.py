"""A count in words: how it came out, how each piece differs from the books, what that meant when it was settled."""

from __future__ import annotations

from collections.abc import Sequence

from broachplan.crib.counts import ComparedLine, Count, Mismatch
from broachplan.shown import numbered

# A difference in a word or two.
SHORT = {
    Mismatch.ABSENT: "not here",
    Mismatch.STRAY: "wrong drawer",
    Mismatch.BACK: "here, lent",
    Mismatch.FOUND: "turned up",
    Mismatch.RETIRED: "retired",
    Mismatch.UNKNOWN: "no such tag",
}
# What a difference meant when it was settled; the books have changed since.
MEANT = {
    Mismatch.ABSENT: "not found where the books had it",
    Mismatch.STRAY: "found here, and its home was elsewhere",
    Mismatch.BACK: "found here, and out in the books",
    Mismatch.FOUND: "found here, and missing in the books",
    Mismatch.RETIRED: "found here, and retired in the books",
    Mismatch.UNKNOWN: "no piece had this tag",
}


def named(count: Count) -> str:
    """The number and drawer of a count, and how many pieces differ."""
    differ = len(count.differences)
    drawer = f"count {count.number}, drawer {count.drawer}"
    if differ:
        return f"{drawer}: {differ} differ{'s' if differ == 1 else ''}, {count.agreed} in order"
    return f"{drawer}: it agrees with the books, {numbered(count.agreed, 'piece')}"


def in_order(seen: Sequence[ComparedLine]) -> list[ComparedLine]:
    """Differences in the order of showing: the same kind together, then by tag."""
    order = list(Mismatch)
    return sorted(seen, key=lambda each: (order.index(each.line.mismatch), each.line.tag))


def why_differs(each: ComparedLine) -> str:
    """How a piece differs from the present books, or did before it was changed after the count."""
    mismatch, piece = each.line.mismatch, each.books
    if piece is None:
        near = f"; the nearest: {', '.join(each.nearest)}" if each.nearest else ""
        return f"no piece has this tag{near}"
    if each.changed or mismatch is Mismatch.RETIRED:
        return MEANT[mismatch]
    status = piece.status
    if mismatch is Mismatch.ABSENT:
        return f"not found; {home_words(piece.home)}"
    if mismatch is Mismatch.BACK and status.loan:
        return f"{status.loan.words} in the books; {home_words(piece.home)}"
    if mismatch is Mismatch.FOUND:
        return f"missing since {status.missing_since} in the books; {home_words(piece.home)}"
    return home_words(piece.home)


def home_words(home: str) -> str:
    """Where a piece belongs."""
    return f"its home is {home}" if home else "it has no home"
