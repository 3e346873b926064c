"""A missing piece turned up outside a count."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from broachplan.crib.entries import Act
from broachplan.crib.records import Condition
from broachplan.crib.words import checked_words
from broachplan.desks.attendant.clock import stamped
from broachplan.errors import CribStateError
from broachplan.questions.acts import FoundRequest
from broachplan.store.corrections import turned_up
from broachplan.store.entries import ActLine, record
from broachplan.store.stored_pieces import stored_piece
from broachplan.store.work import writing


@dataclass(frozen=True, slots=True)
class FoundPiece:
    """A piece that is missing no more: since when it was, its condition, and its home."""

    tag: str
    missing_since: date
    condition: Condition
    home: str

    @property
    def lines(self) -> tuple[str, ...]:
        """A piece that is missing no more."""
        home = f"; its home is {self.home}" if self.home else ""
        return (f"{self.tag}, missing since {self.missing_since}, is found, {self.condition.words}{home}",)


def note_found(db: str | None, request: FoundRequest, *, at: datetime | None = None) -> FoundPiece:
    """Note that a missing piece was found outside a count.

    Raises
    ------
    InputError : an unknown tag, or a note or name that cannot be.
    CribStateError : it is not missing, or retired.
    StorageError : the database cannot be used.
    """
    stamp, note = stamped(request.by, at), checked_words(request.note, "note")
    with writing(db) as work:
        stored = stored_piece(work, request.tag)
        status = stored.status
        if status.retired:
            raise CribStateError(f"{status.tag} is retired and is not changed any more")
        if status.missing_since is None:
            raise CribStateError(f"{status.tag} is not missing")
        record(work, stamp, [ActLine(stored.id, Act.COUNTED, turned_up(work, stored), note)])
        work.commit()
    return FoundPiece(status.tag, status.missing_since, status.condition, stored.home)
