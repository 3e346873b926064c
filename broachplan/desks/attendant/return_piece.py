"""Take a piece back and inspect it, in one step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from broachplan.crib.loans import Loan, why_not_return
from broachplan.crib.records import KEEP_APART, Condition
from broachplan.crib.wear import read_booking, why_due
from broachplan.crib.words import checked_words, read_condition
from broachplan.desks.attendant.clock import stamped
from broachplan.desks.attendant.named import named_pieces
from broachplan.errors import CribStateError, InputError, quoted
from broachplan.questions.acts import ReturnRequest
from broachplan.store.entries import record
from broachplan.store.loans import take_back as put_back
from broachplan.store.run_guard import check_not_booked, check_not_in_run
from broachplan.store.settings_store import load_settings
from broachplan.store.stored_pieces import StoredPiece
from broachplan.store.wear import wear_of
from broachplan.store.work import writing
from broachplan.tooling.figures import Kind

__all__ = ["Returned", "TakenBack", "take_back"]


@dataclass(frozen=True, slots=True)
class Returned:
    """A piece that came back: the loan it was on, what its inspection found, its home, and what it is due for."""

    tag: str
    loan: Loan
    condition: Condition
    home: str
    due: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """What came back, in what condition, and where it belongs."""
        apart = "" if self.condition is Condition.FIT else f"; {KEEP_APART}"
        home = f"; its home is {self.home}" if self.home else ""
        due = "".join(f"; {reason}" for reason in self.due)
        inspected = self.condition is not Condition.UNINSPECTED
        found = self.condition.words if inspected else "not yet inspected"
        return f"{self.tag} is back from {self.loan.to}, {found}{apart}{home}{due}"


@dataclass(frozen=True, slots=True)
class TakenBack:
    """All that came back by one act."""

    pieces: tuple[Returned, ...]

    @property
    def lines(self) -> tuple[str, ...]:
        """A line for each piece."""
        return tuple(each.words for each in self.pieces)


def take_back(db: str | None, request: ReturnRequest, *, at: datetime | None = None) -> TakenBack:
    """Take back a piece, or every piece of a set that is out; unless found fit, no plan uses it from now on.

    What nobody inspects is back as ``uninspected``, and waits for its inspection.

    What was cut is booked on the piece, or on the set's broach.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : an unknown tag or set, another condition, a note or name that cannot be, cuts of what is no broach or
        of a set of which not one broach came back but none or more.
    CribStateError : it is not out, or nothing of the set is; an open run uses it, or a run has booked its cuts.
    StorageError : the database cannot be used.
    """
    stamp, found = stamped(request.by, at), read_condition(request.condition, inspected=False)
    note = checked_words(request.note, "note")
    booking = read_booking(request.hubs, request.passes, request.hub_length)
    with writing(db) as work:
        pieces = _out(named_pieces(work, request.tag, request.set_name), request.set_name)
        check_not_in_run(work, [stored.id for stored in pieces])
        cut = _broach(pieces) if booking else None
        if cut is not None:
            check_not_booked(work, cut.id, cut.status.tag)
        lines = [
            put_back(work, stored, found, stamp, note, booking if stored is cut else None)
            for stored in pieces
        ]
        record(work, stamp, lines)
        settings, worn = load_settings(work), wear_of(work, [stored.id for stored in pieces])
        work.commit()
    return TakenBack(
        tuple(_returned(stored, found, why_due(worn[stored.id], settings, stamp.day)) for stored in pieces)
    )


def _out(pieces: Sequence[StoredPiece], set_name: str) -> Sequence[StoredPiece]:
    """Those that are out."""
    if set_name:
        out = [stored for stored in pieces if stored.status.loan]
        if not out:
            raise CribStateError(f"nothing of the set {quoted(set_name.strip(), most=200)} is out")
        return out
    if why := why_not_return(pieces[0].status):
        raise CribStateError(why)
    return pieces


def _broach(pieces: Sequence[StoredPiece]) -> StoredPiece:
    """The one broach among pieces that came back."""
    broaches = [stored for stored in pieces if stored.status.kind is Kind.BROACH]
    if len(broaches) == 1:
        return broaches[0]
    if len(pieces) == 1:
        raise InputError("cuts", f"{pieces[0].status.tag} is a {pieces[0].status.kind}; only a broach cuts")
    tags = ", ".join(stored.status.tag for stored in broaches)
    raise InputError(
        "cuts",
        f"of which broach? {(f'{tags} came back' if tags else 'none came back')}; return one by its tag",
    )


def _returned(stored: StoredPiece, condition: Condition, due: tuple[str, ...]) -> Returned:
    assert stored.status.loan is not None
    return Returned(stored.status.tag, stored.status.loan, condition, stored.home, due)
