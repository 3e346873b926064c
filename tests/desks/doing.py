"""Acts of the attendant as tests write them: a word for each thing that is typed, in place of a request."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from broachplan.crib.wear import Booking
from broachplan.desks.attendant.book_cuts import Booked, book
from broachplan.desks.attendant.change_set import Moved, join, split
from broachplan.desks.attendant.found_piece import FoundPiece, note_found
from broachplan.desks.attendant.hold_piece import Held, hold, release
from broachplan.desks.attendant.inspect_piece import Inspected, inspect
from broachplan.desks.attendant.lend_piece import Lent, lend
from broachplan.desks.attendant.retire_piece import Retired, retire
from broachplan.desks.attendant.return_piece import Returned, take_back
from broachplan.lengths import write_exact
from broachplan.questions.acts import (
    BookRequest,
    FoundRequest,
    HoldRequest,
    InspectRequest,
    JoinRequest,
    LendRequest,
    ReleaseRequest,
    RetireRequest,
    ReturnRequest,
    SplitRequest,
)

At = datetime | None


def lend_piece(db: str, tag: str, to: str, *, at: At = None, **typed: str) -> Lent:
    return lend(db, LendRequest(tag=tag, to=to, **typed), at=at)


def lend_set(db: str, name: str, to: str, *, at: At = None, **typed: str) -> Lent:
    return lend(db, LendRequest(set_name=name, to=to, **typed), at=at)


def return_piece(
    db: str, tag: str, condition: str, *, booking: Booking | None = None, at: At = None, **typed: str
) -> Returned:
    request = ReturnRequest(tag=tag, condition=condition, **cuts(booking), **typed)
    return take_back(db, request, at=at).pieces[0]


def return_set(
    db: str, name: str, condition: str, *, booking: Booking | None = None, at: At = None, **typed: str
) -> tuple[Returned, ...]:
    request = ReturnRequest(set_name=name, condition=condition, **cuts(booking), **typed)
    return take_back(db, request, at=at).pieces


def hold_piece(
    db: str, tag: str, for_what: str, on: str, *, until: str = "", at: At = None, by: str = ""
) -> Held:
    return hold(db, HoldRequest(tag=tag, for_what=for_what, first=on, last=until, by=by), at=at)


def hold_set(db: str, name: str, for_what: str, on: str, *, until: str = "", at: At = None) -> Held:
    return hold(db, HoldRequest(set_name=name, for_what=for_what, first=on, last=until), at=at)


def release_piece(db: str, tag: str, on: str, *, until: str = "", at: At = None, by: str = "") -> Held:
    return release(db, ReleaseRequest(tag=tag, first=on, last=until, by=by), at=at)


def release_set(db: str, name: str, on: str, *, until: str = "", at: At = None) -> Held:
    return release(db, ReleaseRequest(set_name=name, first=on, last=until), at=at)


def inspect_piece(db: str, tag: str, condition: str, *, at: At = None, **typed: str) -> Inspected:
    return inspect(db, InspectRequest(tag=tag, condition=condition, **typed), at=at)


def book_cuts(db: str, tag: str, booking: Booking, *, at: At = None, **typed: str) -> Booked:
    return book(db, BookRequest(tag=tag, **cuts(booking), **typed), at=at)


def found_piece(db: str, tag: str, *, at: At = None, **typed: str) -> FoundPiece:
    return note_found(db, FoundRequest(tag=tag, **typed), at=at)


def retire_piece(db: str, tag: str, *, at: At = None, **typed: str) -> Retired:
    return retire(db, RetireRequest(tag=tag, **typed), at=at)


def join_set(
    db: str, name: str, tags: Sequence[str] = (), *, of_set: str = "", at: At = None, by: str = ""
) -> Moved:
    return join(db, JoinRequest(into=name, tags=tuple(tags), set_name=of_set, by=by), at=at)


def split_set(
    db: str, name: str, tags: Sequence[str] = (), *, into: str = "", at: At = None, by: str = ""
) -> Moved:
    return split(db, SplitRequest(out_of=name, tags=tuple(tags), into=into, by=by), at=at)


def cuts(booking: Booking | None) -> dict[str, Any]:
    if booking is None:
        return {}
    length = write_exact(booking.hub_length)
    return {"hubs": str(booking.hubs), "passes": str(booking.passes), "hub_length": length}
