"""What is out: with whom, since when, and what should have been back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from broachplan.crib.loans import Loan
from broachplan.crib.people import folded
from broachplan.crib.words import read_day
from broachplan.desks.attendant.clock import day
from broachplan.questions.reads import OutRequest
from broachplan.store.run_guard import finished_with
from broachplan.store.stored_pieces import lent_out
from broachplan.store.work import reading
from broachplan.tooling.figures import Kind


@dataclass(frozen=True, slots=True)
class Out:
    """One piece that is out; ``finished_with`` is the code of the run that lent it, where that run is over."""

    tag: str
    kind: Kind
    loan: Loan
    overdue: bool
    finished_with: str = ""
    set_name: str = ""


@dataclass(frozen=True, slots=True)
class OutTogether:
    """Pieces of one set that are out to one person on the same terms: one line of a list, named by the set."""

    tag: str
    pieces: tuple[Out, ...]

    @property
    def kind(self) -> str:
        """In place of the kind of a piece."""
        return f"set, {len(self.pieces)} pieces"

    @property
    def loan(self) -> Loan:
        """The terms of all of them."""
        return self.pieces[0].loan

    @property
    def overdue(self) -> bool:
        """Whether they should be back by now."""
        return self.pieces[0].overdue

    @property
    def finished_with(self) -> str:
        """The code of the run that lent them, where it is over."""
        return self.pieces[0].finished_with


@dataclass(frozen=True, slots=True)
class OutList:
    """What is out on a day: what is overdue first, then by the day of the loan, then by tag."""

    on: date
    pieces: tuple[Out, ...]

    @property
    def lines(self) -> tuple[Out | OutTogether, ...]:
        """By person, each at the place of their first piece, and what they have of one set together.

        Pieces of a set that are out on the same terms are one line.
        """
        by_person: dict[str, dict[str, list[Out]]] = {}
        for piece in self.pieces:
            of_set = by_person.setdefault(folded(piece.loan.to), {})
            of_set.setdefault(piece.set_name or f" {piece.tag}", []).append(piece)
        alike: dict[object, list[Out]] = {}
        for piece in (each for sets in by_person.values() for pieces in sets.values() for each in pieces):
            terms = (piece.set_name, piece.loan, piece.finished_with) if piece.set_name else piece.tag
            alike.setdefault(terms, []).append(piece)
        return tuple(
            OutTogether(together[0].set_name, tuple(together)) if len(together) > 1 else together[0]
            for together in alike.values()
        )

    def __iter__(self) -> Iterator[Out]:
        return iter(self.pieces)


def list_out(db: str | None, request: OutRequest) -> OutList:
    """Every piece that is out, or of them those that one person has.

    Raises
    ------
    InputError : it is no day.
    StorageError : the database cannot be used.
    """
    on = day(read_day(request.on, "on"))
    with reading(db) as work:
        found, over = lent_out(work), finished_with(work)
    out = [
        Out(
            stored.status.tag,
            stored.status.kind,
            loan,
            loan.overdue(on),
            finished_with=over.get(stored.id, ""),
            set_name=stored.set_name,
        )
        for stored in found
        if (loan := stored.status.loan) is not None and folded(request.to) in ("", folded(loan.to))
    ]
    return OutList(on, tuple(sorted(out, key=lambda piece: (not piece.overdue, piece.loan.since, piece.tag))))
