"""Take a piece out of use for good; what it was and who had it stays in the history."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from broachplan.crib.entries import RETIRED, Act, Change
from broachplan.crib.loans import why_not_retire
from broachplan.crib.words import checked_words
from broachplan.desks.attendant.clock import stamped
from broachplan.errors import CribStateError
from broachplan.questions.acts import RetireRequest
from broachplan.store.entries import ActLine, record
from broachplan.store.pieces import mark
from broachplan.store.run_guard import check_not_in_run
from broachplan.store.stored_pieces import stored_piece
from broachplan.store.work import writing


@dataclass(frozen=True, slots=True)
class Retired:
    """A piece that is out of use for good."""

    tag: str

    @property
    def lines(self) -> tuple[str, ...]:
        """That it is retired."""
        return (f"{self.tag} is retired",)


def retire(db: str | None, request: RetireRequest, *, at: datetime | None = None) -> Retired:
    """Retire a piece: no list and no plan has it from now on.

    Raises
    ------
    InputError : an unknown tag, or a note or name that cannot be.
    CribStateError : it is out, in use in a run, or retired already.
    StorageError : the database cannot be used.
    """
    stamp, note = stamped(request.by, at), checked_words(request.note, "note")
    with writing(db) as work:
        stored = stored_piece(work, request.tag)
        check_not_in_run(work, [stored.id])
        if why := why_not_retire(stored.status):
            raise CribStateError(why)
        mark(work, [stored.id], retired=1)
        record(work, stamp, [ActLine(stored.id, Act.RETIRED, (Change(RETIRED, 0, 1),), note)])
        work.commit()
    return Retired(stored.status.tag)
