"""What a run does to the crib's pieces: it lends them, gives them back, books cuts, and notes what broke or went missing.

Each function changes rows and gives the entry for the caller to record with the run's step.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace

from broachplan.crib.entries import Act, Stamp, changes_between
from broachplan.crib.loans import Asker, Loan, already_out, why_not_lend, why_not_lose
from broachplan.crib.records import Condition
from broachplan.errors import CribStateError
from broachplan.lengths import Length
from broachplan.store.entries import ActLine
from broachplan.store.loans import break_, hand_out, lose, take_back
from broachplan.store.pieces import change, mark, values_of
from broachplan.store.stored_pieces import StoredPiece, stored_piece, stored_pieces
from broachplan.store.transaction import Work
from broachplan.store.typed import check_piece, typed_values
from broachplan.store.wear import change_wear, wear_of


@dataclass(frozen=True, slots=True)
class TakenPieces:
    """Pieces that are with a run now: those that it lent, each with its entry; the others were with the person already."""

    lines: tuple[ActLine, ...]
    lent: frozenset[str]


def take(work: Work, tags: Collection[str], asker: Asker, loan: Loan, note: str) -> TakenPieces:
    """Lend pieces to the worker, all or none; what is lent to them or for the same work already stays so.

    Raises
    ------
    CribStateError : a piece is lent elsewhere, not fit, missing, retired, or held for other work; one line says which.
    """
    pieces = stored_pieces(work, tags, loan.since)
    reasons = [why for stored in pieces if (why := _why_not_taken(stored, asker, loan))]
    if reasons:
        raise CribStateError("; ".join(reasons))
    lend = [stored for stored in pieces if stored.status.loan is None]
    lines = tuple(hand_out(work, stored, loan, note) for stored in lend)
    return TakenPieces(lines, frozenset(stored.status.tag for stored in lend))


def _why_not_taken(stored: StoredPiece, asker: Asker, loan: Loan) -> str:
    status = stored.status.for_work_of(asker, loan.since)
    if status.loan is None:
        return why_not_lend(status, asker.work, loan.since)
    if not asker.has(status.loan):
        return already_out(status.tag, status.loan)
    return why_not_lend(replace(status, loan=None), asker.work, loan.since)


def give_back(
    work: Work, tags: Iterable[str], found: Mapping[str, Condition], stamp: Stamp, note: str
) -> list[ActLine]:
    """Take pieces back into the crib; those that were inspected in the condition that was ``found``."""
    pieces = stored_pieces(work, tags)
    return [take_back(work, stored, found.get(stored.status.tag), stamp, note) for stored in pieces]


def inspected(work: Work, tag: str, found: Condition, stamp: Stamp, note: str) -> ActLine:
    """Note what the inspection of a piece found that stays out with the person who had it before the run."""
    stored = stored_piece(work, tag)
    worn = wear_of(work, [stored.id])[stored.id]
    changes = changes_between({"condition": stored.status.condition.value}, {"condition": found.value})
    changes += change_wear(work, stored.id, worn, worn.inspected(stamp.day))
    mark(work, [stored.id], condition=found.value)
    return ActLine(stored.id, Act.INSPECTED, changes, note)


def book_cuts(work: Work, tag: str, cuts: int, hub_length: Length, note: str) -> ActLine:
    """Book cuts on a broach, or take them back where there are fewer than none."""
    stored = stored_piece(work, tag)
    worn = wear_of(work, [stored.id])[stored.id]
    cut = worn.with_cuts(cuts, Length(hub_length.nm * cuts))
    return ActLine(stored.id, Act.BOOKED, change_wear(work, stored.id, worn, cut), note)


def gone(work: Work, tag: str, stamp: Stamp, note: str) -> ActLine:
    """A piece is missing: its loan ends so."""
    stored = stored_piece(work, tag)
    if why := why_not_lose(stored.status):
        raise CribStateError(why)
    return lose(work, stored, stamp, note)


def broken(work: Work, tag: str, stamp: Stamp, note: str) -> ActLine:
    """A piece broke: its loan ends so, and no plan uses it."""
    return break_(work, stored_piece(work, tag), stamp, note)


def measured_again(work: Work, tag: str, typed: Mapping[str, str], note: str) -> ActLine:
    """Change figures of a piece, and how it was measured, as they were typed.

    Raises
    ------
    InputError : a name that the piece does not have, or a figure that cannot be.
    """
    stored = stored_piece(work, tag)
    kind = stored.status.kind
    before = values_of(work, kind, stored.status.tag)
    after = {**before, **typed_values(kind, typed)}
    check_piece(kind, stored.status.tag, after)
    change(work, kind, [(stored.id, after)])
    return ActLine(stored.id, Act.CHANGED, changes_between(before, after), note)
