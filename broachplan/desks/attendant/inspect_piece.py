"""Note what an inspection of a piece in the crib found."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from broachplan.crib.entries import Act, changes_between
from broachplan.crib.loans import why_not_inspect
from broachplan.crib.records import KEEP_APART, Condition
from broachplan.crib.words import checked_words, read_condition
from broachplan.desks.attendant.clock import stamped
from broachplan.errors import CribStateError
from broachplan.questions.acts import InspectRequest
from broachplan.store.entries import ActLine, record
from broachplan.store.pieces import mark
from broachplan.store.run_guard import check_not_in_run
from broachplan.store.stored_pieces import stored_piece
from broachplan.store.wear import change_wear, wear_of
from broachplan.store.work import writing


@dataclass(frozen=True, slots=True)
class Inspected:
    """A piece, its condition before the inspection and what was found."""

    tag: str
    before: Condition
    found: Condition

    @property
    def lines(self) -> tuple[str, ...]:
        """What was found, beside what the piece was before."""
        apart = "" if self.found is Condition.FIT else f"; {KEEP_APART}"
        if self.found is self.before:
            return (f"{self.tag} is {self.found}, as before{apart}",)
        return (f"{self.tag} was {self.before} and is {self.found}{apart}",)


def inspect(db: str | None, request: InspectRequest, *, at: datetime | None = None) -> Inspected:
    """Note in what condition a piece was found.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : an unknown tag, another condition, a note or name that cannot be.
    CribStateError : it is out, in use in a run, missing or retired: nobody has it in hand.
    StorageError : the database cannot be used.
    """
    stamp, found = stamped(request.by, at), read_condition(request.condition)
    note = checked_words(request.note, "note")
    with writing(db) as work:
        stored = stored_piece(work, request.tag)
        check_not_in_run(work, [stored.id])
        if why := why_not_inspect(stored.status):
            raise CribStateError(why)
        before = stored.status.condition
        worn = wear_of(work, [stored.id])[stored.id]
        changes = changes_between({"condition": before.value}, {"condition": found.value})
        changes += change_wear(work, stored.id, worn, worn.inspected(stamp.day))
        mark(work, [stored.id], condition=found.value)
        record(work, stamp, [ActLine(stored.id, Act.INSPECTED, changes, note)])
        work.commit()
    return Inspected(stored.status.tag, before, found)
