"""What is back and not yet inspected: the list to work off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from broachplan.crib.entries import LENT_TO, Act, Entry
from broachplan.desks.attendant.clock import day_of
from broachplan.questions.reads import ToInspectRequest
from broachplan.store.entries import entries_of
from broachplan.store.stored_pieces import StoredPiece, to_inspect
from broachplan.store.work import reading
from broachplan.tooling.figures import Kind

_CAME_BACK = (Act.RETURNED, Act.BACK)


@dataclass(frozen=True, slots=True)
class Waiting:
    """A piece that nobody has inspected since it came back, from whom and when, where the history knows."""

    tag: str
    kind: Kind
    home: str
    back: date | None = None
    came_from: str = ""
    was_sent: bool = False


def list_to_inspect(db: str | None, _: ToInspectRequest) -> Sequence[Waiting]:
    """Every piece that is in the crib and not yet inspected, the longest waiting first, then by tag.

    Raises
    ------
    StorageError : the database cannot be used.
    """
    with reading(db) as work:
        found = to_inspect(work)
        came: dict[int, Entry] = {}
        for piece_id, entry in entries_of(work, [stored.id for stored in found]):
            if entry.act in _CAME_BACK:
                came.setdefault(piece_id, entry)
    waiting = [_waiting(stored, came.get(stored.id)) for stored in found]
    return tuple(sorted(waiting, key=lambda each: (str(each.back or ""), each.tag)))


def _waiting(stored: StoredPiece, came: Entry | None) -> Waiting:
    tag, kind = stored.status.tag, stored.status.kind
    if came is None:
        return Waiting(tag, kind, stored.home)
    return Waiting(tag, kind, stored.home, day_of(came.at), came.ended(LENT_TO), came.act is Act.BACK)
