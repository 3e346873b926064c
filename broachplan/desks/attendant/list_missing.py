"""What is lost or was not found by a count, and nobody has found since."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.crib.entries import JOB, LENT_TO, MISSING_SINCE, Entry
from broachplan.crib.homes import Placed
from broachplan.questions.reads import MissingRequest
from broachplan.store.counts import placed
from broachplan.store.entries import entries_of
from broachplan.store.stored_pieces import StoredPiece, missing
from broachplan.store.work import reading

__all__ = ["GonePiece", "list_missing"]


@dataclass(frozen=True, slots=True)
class GonePiece:
    """A piece that is missing, and who had it when it was lost, for which job; empty where it was in the crib."""

    piece: Placed
    last_with: str = ""
    job: str = ""


def list_missing(db: str | None, _: MissingRequest) -> tuple[GonePiece, ...]:
    """Every missing piece that is not retired: the longest missing first, then by tag.

    Raises
    ------
    StorageError : the database cannot be used.
    """
    with reading(db) as work:
        found = missing(work)
        lost: dict[int, Entry] = {}
        for piece_id, entry in entries_of(work, [stored.id for stored in found]):
            if any(change.name == MISSING_SINCE and change.new for change in entry.changes):
                lost.setdefault(piece_id, entry)
    listed = [_missing_piece(stored, lost.get(stored.id)) for stored in found]
    return tuple(sorted(listed, key=lambda each: (str(each.piece.status.missing_since), each.piece.tag)))


def _missing_piece(stored: StoredPiece, entry: Entry | None) -> GonePiece:
    had = (entry.ended(LENT_TO), entry.ended(JOB)) if entry else ("", "")
    return GonePiece(placed(stored), *had)
