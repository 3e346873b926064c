"""Take a piece back and inspect it, in one step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from broachplan.crib.loans import Loan, why_not_return
from broachplan.crib.records import Condition
from broachplan.crib.wear import Booking, why_due
from broachplan.crib.words import checked_words
from broachplan.desks.attendant.clock import stamped
from broachplan.errors import CribStateError, InputError, quoted
from broachplan.store.entries import record
from broachplan.store.loans import take_back
from broachplan.store.settings_store import load_settings
from broachplan.store.standings import Stood, in_set, standing_of
from broachplan.store.typed import condition_of
from broachplan.store.wear import wear_of
from broachplan.store.work import writing
from broachplan.tooling.figures import Kind

__all__ = ["Returned", "return_piece", "return_set"]


@dataclass(frozen=True, slots=True)
class Returned:
    """A piece that came back: the loan it was on, what its inspection found, its home, and what it is due for."""

    tag: str
    loan: Loan
    condition: Condition
    home: str
    due: tuple[str, ...] = ()


def return_piece(
    db: str | None,
    tag: str,
    condition: str,
    *,
    booking: Booking | None = None,
    note: str = "",
    by: str = "",
    at: datetime | None = None,
) -> Returned:
    """Take back the piece with a tag; unless it is found fit, no plan uses it from now on.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    condition : what the inspection found: fit, worn or unfit.
    booking : what it has cut, where it is a broach; None where nobody said.
    by, at : who takes it back, and when; see `stamped`.

    Raises
    ------
    InputError : an unknown tag, another condition, a note or name that cannot be, cuts of what is no broach.
    CribStateError : it is not out.
    StorageError : the database cannot be used.
    """
    return _return(db, "", tag, condition, booking, note, by, at)[0]


def return_set(
    db: str | None,
    name: str,
    condition: str,
    *,
    booking: Booking | None = None,
    note: str = "",
    by: str = "",
    at: datetime | None = None,
) -> tuple[Returned, ...]:
    """Take back every piece of a set that is out, all found in one condition; see `return_piece`.

    What was cut is booked on the set's broach.

    Raises
    ------
    InputError : cuts are to be booked, and not one broach of the set came back but none or more.
    """
    return _return(db, name, "", condition, booking, note, by, at)


def _return(
    db: str | None,
    name: str,
    tag: str,
    condition: str,
    booking: Booking | None,
    note: str,
    by: str,
    at: datetime | None,
) -> tuple[Returned, ...]:
    stamp, found, note = stamped(by, at), condition_of(condition), checked_words(note, "note")
    with writing(db) as work:
        if name:
            pieces = [stood for stood in in_set(work, name) if stood.standing.loan]
            if not pieces:
                raise CribStateError(f"nothing of the set {quoted(name.strip(), most=200)} is out")
        else:
            pieces = [standing_of(work, tag)]
            if why := why_not_return(pieces[0].standing):
                raise CribStateError(why)
        cut = _broach(pieces) if booking else None
        lines = [
            take_back(work, stood, found, stamp, note, booking if stood is cut else None) for stood in pieces
        ]
        record(work, stamp, lines)
        settings, worn = load_settings(work), wear_of(work, [stood.id for stood in pieces])
        work.commit()
    return tuple(_returned(stood, found, why_due(worn[stood.id], settings, stamp.day)) for stood in pieces)


def _broach(pieces: Sequence[Stood]) -> Stood:
    """The one broach among pieces that came back."""
    broaches = [stood for stood in pieces if stood.standing.kind is Kind.BROACH]
    if len(broaches) == 1:
        return broaches[0]
    if len(pieces) == 1:
        raise InputError(f"cuts: {pieces[0].standing.tag} is a {pieces[0].standing.kind}; only a broach cuts")
    tags = ", ".join(stood.standing.tag for stood in broaches)
    raise InputError(
        f"cuts: of which broach? {f'{tags} came back' if tags else 'none came back'}; return one by its tag"
    )


def _returned(stood: Stood, condition: Condition, due: tuple[str, ...]) -> Returned:
    assert stood.standing.loan is not None
    return Returned(stood.standing.tag, stood.standing.loan, condition, stood.home, due)
