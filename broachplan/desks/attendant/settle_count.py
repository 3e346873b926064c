"""Settle a count: every difference gets its cause, and the books are corrected by entries of one act."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, tzinfo

from broachplan.crib.count_words import home_words
from broachplan.crib.counts import (
    CORRECTED,
    Count,
    CountLine,
    Mismatch,
    checked_causes,
    checked_moves,
    tag_and_words,
    what_changed,
)
from broachplan.crib.entries import Stamp
from broachplan.crib.homes import Placed
from broachplan.crib.loans import Loan
from broachplan.desks.attendant.clock import day_of, stamped
from broachplan.errors import CribStateError
from broachplan.questions.acts import SettleRequest
from broachplan.store.corrections import corrected
from broachplan.store.counts import count_numbered, placed, settle, touched_since, why_settled
from broachplan.store.entries import ActLine, record
from broachplan.store.run_guard import check_not_in_run
from broachplan.store.stored_pieces import StoredPiece, stored_pieces
from broachplan.store.transaction import Work
from broachplan.store.work import writing

__all__ = ["Corrected", "Mismatch", "Settled", "settle_count", "tag_and_words"]


@dataclass(frozen=True, slots=True)
class Corrected:
    """What the books say of a piece from now on.

    ``home`` is where it lives now, and ``moved`` whether that is new; ``loan`` the loan that was closed, and
    ``missing_since`` the day since when it is missing, or was until it was found.
    """

    tag: str
    mismatch: Mismatch
    home: str
    moved: bool = False
    loan: Loan | None = None
    missing_since: date | None = None

    @property
    def words(self) -> str:
        """What was corrected, in a line."""
        now = f"; {home_words(self.home)}{' now' if self.moved else ''}"
        if self.mismatch is Mismatch.ABSENT:
            return f"{self.tag} is missing since {self.missing_since}{now}"
        if self.mismatch is Mismatch.BACK and self.loan:
            return f"{self.tag} is back from {self.loan.to}, not yet inspected{now}"
        return f"{self.tag} {'is found' if self.mismatch is Mismatch.FOUND else 'stays'}{now}"


@dataclass(frozen=True, slots=True)
class Settled:
    """A settled count: what was corrected, what is to be put back to its home, and what was not corrected and why."""

    count: Count
    corrected: tuple[Corrected, ...]
    put_back: tuple[Placed, ...]
    left: tuple[str, ...]


def settle_count(
    db: str | None, request: SettleRequest, *, at: datetime | None = None, zone: tzinfo | None = None
) -> Settled:
    """Settle the differences of a count, all of them in one act, which undoing takes back as one.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.
    zone : of the crib's place; it decides the day from which an absent piece is missing. None: that of this machine.

    Raises
    ------
    InputError : no such count, a difference without a cause, or a tag, cause or place that cannot be.
    CribStateError : it is settled already, agrees with the books, or would correct a piece that is in use in a run.
    StorageError : the database cannot be used.
    """
    stamp = stamped(request.by, at)
    with writing(db) as work:
        count = count_numbered(work, request.number)
        if count.settled is not None:
            raise CribStateError(why_settled(count))
        causes = checked_causes(count.lines, request.causes, request.rest)
        homes = checked_moves(count, request.moves)
        settled, entries = _corrections(work, count, causes, homes, stamp, day_of(count.at, zone))
        settle(work, count, causes, stamp, record(work, stamp, entries))
        work.commit()
    return settled


def _corrections(
    work: Work, count: Count, causes: Mapping[str, str], homes: Mapping[str, str], stamp: Stamp, counted: date
) -> tuple[Settled, list[ActLine]]:
    books = {stored.status.tag: stored for stored in stored_pieces(work, causes)}
    touched = touched_since(work, count, [stored.id for stored in books.values()])
    done, put_back, left, entries = [], [], [], []
    for line in count.differences:
        stored = books.get(line.tag)
        if stored is None or not (line.mismatch in CORRECTED or line.tag in homes):
            if stored is None and line.mismatch in CORRECTED:
                left.append(f"{line.tag} is in the crib no more: its addition was undone")
            elif stored is not None and line.mismatch is Mismatch.STRAY:
                put_back.append(placed(stored))
            continue
        why = what_changed(line, count.drawer, placed(stored), touched=stored.id in touched)
        if why:
            left.append(why)
            continue
        if line.mismatch in CORRECTED:
            check_not_in_run(work, [stored.id])
        home, note = homes.get(line.tag, ""), f"count {count.number}: {causes[line.tag]}"
        entries.append(corrected(work, stored, line, home, stamp, counted, note))
        done.append(_done(line, stored, home, counted))
    return Settled(count, tuple(done), tuple(put_back), tuple(left)), entries


def _done(line: CountLine, stored: StoredPiece, home: str, counted: date) -> Corrected:
    status = stored.status
    missing = counted if line.mismatch is Mismatch.ABSENT else status.missing_since
    moved = bool(home) and home != stored.home
    return Corrected(line.tag, line.mismatch, home or stored.home, moved, status.loan, missing)
