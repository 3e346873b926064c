"""A missing piece turned up outside a count."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from broachplan.crib.entries import Act
from broachplan.crib.words import checked_words
from broachplan.desks.attendant.clock import stamped
from broachplan.errors import CribStateError
from broachplan.store.corrections import turned_up
from broachplan.store.entries import Line, record
from broachplan.store.standings import standing_of
from broachplan.store.work import writing


@dataclass(frozen=True, slots=True)
class FoundPiece:
    """A piece that is missing no more: since when it was, in what words its condition stands, and its home."""

    tag: str
    missing_since: date
    condition: str
    home: str


def found_piece(
    db: str | None, tag: str, *, note: str = "", by: str = "", at: datetime | None = None
) -> FoundPiece:
    """Note that the piece with a tag was found.

    Raises
    ------
    InputError : an unknown tag, or a note or name that cannot be.
    CribStateError : it is not missing, or retired.
    StorageError : the database cannot be used.
    """
    stamp, note = stamped(by, at), checked_words(note, "note")
    with writing(db) as work:
        stood = standing_of(work, tag)
        standing = stood.standing
        if standing.retired:
            raise CribStateError(f"{standing.tag} is retired and is not changed any more")
        if standing.missing_since is None:
            raise CribStateError(f"{standing.tag} is not missing")
        record(work, stamp, [Line(stood.id, Act.COUNTED, turned_up(work, stood), note)])
        work.commit()
    return FoundPiece(standing.tag, standing.missing_since, standing.condition.value, stood.home)
