"""Pieces whose addition was undone: their tags are free again, and their histories can still be read."""

from __future__ import annotations

from sqlalchemy import select

from broachplan.crib.entries import TAG
from broachplan.store.entries import entries_of
from broachplan.store.tables import PIECE
from broachplan.store.transaction import Work
from broachplan.tooling.tags import UNDONE, undone_name

# However long a tag is, so much of it is in the name that its piece is left.
_KEPT = 12


def names_instead(work: Work, tags: list[str], action: int) -> dict[str, str]:
    """A name for each of some pieces in place of its tag, once the act that added them is undone; by the tags."""
    mark = f"{UNDONE}{action}"
    taken = set(work.connection.scalars(select(PIECE.c.tag).where(PIECE.c.tag.contains(mark))))
    names = {}
    for tag in tags:
        names[tag] = undone_name(tag, action, taken)
        taken.add(names[tag])
    return names


def undone_with_tag(work: Work, tag: str) -> tuple[str, ...]:
    """The names of those that had a tag until their addition was undone, the latest first.

    Raises
    ------
    StorageError : an entry that cannot be.
    """
    begins = PIECE.c.tag.startswith(tag[:_KEPT], autoescape=True)
    query = select(PIECE.c.id, PIECE.c.tag).where(PIECE.c.retired == 1, begins, PIECE.c.tag.contains(UNDONE))
    found = work.connection.execute(query).all() if tag else []
    names = {row[0]: row[1] for row in found}
    had = (
        id
        for id, entry in entries_of(work, names)
        if any(change.name == TAG and change.old == tag for change in entry.changes)
    )
    return tuple(names[id] for id in had)
