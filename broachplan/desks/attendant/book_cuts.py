"""Book what a broach has cut, apart from its return."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from broachplan.crib.entries import Act
from broachplan.crib.wear import Booking, Wear, why_due
from broachplan.crib.words import checked_words
from broachplan.desks.attendant.clock import stamped
from broachplan.errors import CribStateError, InputError
from broachplan.lengths import Units
from broachplan.store.entries import Line, record
from broachplan.store.settings_store import load_settings
from broachplan.store.standings import standing_of
from broachplan.store.wear import change_wear, wear_of
from broachplan.store.work import writing
from broachplan.tooling.figures import Kind


@dataclass(frozen=True, slots=True)
class Booked:
    """A broach's wear with what was booked; ``due`` tells what it is due for, and why."""

    tag: str
    wear: Wear
    due: tuple[str, ...]
    units: Units


def book_cuts(
    db: str | None, tag: str, booking: Booking, *, note: str = "", by: str = "", at: datetime | None = None
) -> Booked:
    """Book cuts of the broach with a tag, wherever it is.

    Raises
    ------
    InputError : an unknown tag, a piece that is no broach, a note or name that cannot be.
    CribStateError : it is retired.
    StorageError : the database cannot be used.
    """
    stamp, note = stamped(by, at), checked_words(note, "note")
    with writing(db) as work:
        stood = standing_of(work, tag)
        if stood.standing.kind is not Kind.BROACH:
            raise InputError(f"cuts: {stood.standing.tag} is a {stood.standing.kind}; only a broach cuts")
        if stood.standing.retired:
            raise CribStateError(f"{stood.standing.tag} is retired and is not changed any more")
        worn = wear_of(work, [stood.id])[stood.id]
        cut = worn.booked(booking)
        record(work, stamp, [Line(stood.id, Act.BOOKED, change_wear(work, stood.id, worn, cut), note)])
        settings = load_settings(work)
        work.commit()
    return Booked(stood.standing.tag, cut, why_due(cut, settings, stamp.day), settings.units)
