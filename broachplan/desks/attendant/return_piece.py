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
from broachplan.desks.attendant.set_list import SetReturn, of_set, one_piece
from broachplan.desks.attendant.write_off import WrittenOff
from broachplan.errors import CribStateError, InputError
from broachplan.questions.acts import ReturnRequest
from broachplan.store.entries import record
from broachplan.store.loans import lose
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
    """All that came back by one act, what of the same set is ``lost``, and what of it stays ``out``, by its tag."""

    pieces: tuple[Returned, ...]
    lost: tuple[WrittenOff, ...] = ()
    out: tuple[str, ...] = ()

    @property
    def lines(self) -> tuple[str, ...]:
        """A line for each piece, then what the set lacks."""
        return (*(each.words for each in self.pieces), *self.short)

    @property
    def short(self) -> tuple[str, ...]:
        """What the set lacks: what is lost, what is still out, and what it was lent without."""
        lines = [line for each in self.lost for line in each.lines]
        loans = [each.loan for each in self.pieces]
        loans += [each.loan for each in self.lost if each.loan]
        if self.out:
            lines.append(f"still out to {loans[0].to}: {', '.join(self.out)}")
        lacked = dict.fromkeys(loan.lacked for loan in loans if loan.lacked)
        return (*lines, *(f"it was lent without {each}" for each in lacked))


def take_back(db: str | None, request: ReturnRequest, *, at: datetime | None = None) -> TakenBack:
    """Take back a piece, or what one person has of a set; unless found fit, no plan uses it from now on.

    What nobody inspects is back as ``uninspected``, and waits for its inspection.

    What was cut is booked on the piece, or on the set's broach.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : an unknown tag or set, another condition, a note or name that cannot be, cuts of what is no broach or
        of a set of which not one broach came back but none or more; a set is out to several and none is named, or a tag
        that is not among what its borrower has.
    CribStateError : it is not out, or nothing of the set is; an open run uses it, or a run has booked its cuts.
    StorageError : the database cannot be used.
    """
    stamp, found = stamped(request.by, at), read_condition(request.condition, inspected=False)
    note = checked_words(request.note, "note")
    booking = read_booking(request.hubs, request.passes, request.hub_length)
    with writing(db) as work:
        named = named_pieces(work, request.tag, request.set_name)
        comes = of_set(named, request, found) if request.set_name.strip() else _one(named[0], request, found)
        back = [stored for stored, _ in comes.back]
        check_not_in_run(work, [stored.id for stored in (*back, *comes.lost)])
        cut = _broach(back) if booking else None
        if cut is not None:
            check_not_booked(work, cut.id, cut.status.tag)
        lines = [
            put_back(work, stored, condition, stamp, note, booking if stored is cut else None)
            for stored, condition in comes.back
        ]
        record(work, stamp, [*lines, *(lose(work, stored, stamp, note) for stored in comes.lost)])
        settings, worn = load_settings(work), wear_of(work, [stored.id for stored in back])
        work.commit()
    return TakenBack(
        tuple(
            _returned(stored, condition, why_due(worn[stored.id], settings, stamp.day))
            for stored, condition in comes.back
        ),
        tuple(WrittenOff(stored.status.tag, stored.status.loan, broken=False) for stored in comes.lost),
        tuple(stored.status.tag for stored in comes.out),
    )


def _one(stored: StoredPiece, request: ReturnRequest, found: Condition) -> SetReturn:
    if why := why_not_return(stored.status):
        raise CribStateError(why)
    return one_piece(stored, request, found)


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
