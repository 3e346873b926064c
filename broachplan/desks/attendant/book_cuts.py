"""Book what a broach has cut without returning it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from broachplan.crib.entries import Act
from broachplan.crib.wear import Wear, read_booking, why_due
from broachplan.crib.words import checked_words
from broachplan.desks.attendant.clock import stamped
from broachplan.errors import CribStateError, InputError
from broachplan.lengths import Units
from broachplan.questions.acts import BookRequest
from broachplan.store.entries import ActLine, record
from broachplan.store.run_guard import check_not_cutting
from broachplan.store.settings_store import load_settings
from broachplan.store.stored_pieces import stored_piece
from broachplan.store.wear import change_wear, wear_of
from broachplan.store.work import writing
from broachplan.tooling.figures import Kind


@dataclass(frozen=True, slots=True)
class Booked:
    """A broach's wear with what was booked; ``due`` says what it is due for, and why."""

    tag: str
    wear: Wear
    due: tuple[str, ...]
    units: Units

    @property
    def lines(self) -> tuple[str, ...]:
        """What it has cut with what was booked, and what it is due for."""
        return (f"{self.tag}: {self.wear.words(self.units)}", *self.due)


def book(db: str | None, request: BookRequest, *, at: datetime | None = None) -> Booked:
    """Book what a broach has cut, wherever it is.

    Raises
    ------
    InputError : an unknown tag, a piece that is no broach, cuts, a note or a name that cannot be.
    CribStateError : it is retired, or an open run cuts with it and books its cuts.
    StorageError : the database cannot be used.
    """
    stamp, note = stamped(request.by, at), checked_words(request.note, "note")
    booking = read_booking(request.hubs, request.passes, request.hub_length)
    if booking is None:
        raise InputError("cuts", "nothing was given; write hubs, passes and hub length")
    with writing(db) as work:
        stored = stored_piece(work, request.tag)
        if stored.status.kind is not Kind.BROACH:
            raise InputError("cuts", f"{stored.status.tag} is a {stored.status.kind}; only a broach cuts")
        if stored.status.retired:
            raise CribStateError(f"{stored.status.tag} is retired and is not changed any more")
        check_not_cutting(work, stored.id)
        worn = wear_of(work, [stored.id])[stored.id]
        cut = worn.booked(booking)
        record(work, stamp, [ActLine(stored.id, Act.BOOKED, change_wear(work, stored.id, worn, cut), note)])
        settings = load_settings(work)
        work.commit()
    return Booked(stored.status.tag, cut, why_due(cut, settings, stamp.day), settings.shown_in)
