"""The status of a piece in words, and what a set lacks: the same words in every list and line."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from broachplan.crib.loans import Loan, PieceStatus, why_off
from broachplan.crib.loans import state_words as in_words
from broachplan.crib.records import Condition

if TYPE_CHECKING:
    from broachplan.crib.sets import ToolSet

OVERDUE = "OVERDUE"


def state_words(status: PieceStatus, on: date) -> str:
    """As the crib's lists say it, with what was agreed for a loan; overdue comes first, where no narrow column cuts it off."""
    lent = loan_words(status.loan, on) if status.loan else ""
    off = why_off(status.condition, status.missing_since, lent, status.held_for, on)
    return in_words(off, retired=status.retired)


def loan_words(loan: Loan, on: date) -> str:
    """Who has a piece, since when and on what terms."""
    late = f"{OVERDUE}, " if loan.overdue(on) else ""
    return f"{late}{loan.words}{loan.terms}"


def lacks(box: ToolSet, on: date) -> str:
    """``complete``, or how many pieces a set lacks and which."""
    lacking = sum(not _here(piece) for piece in box.pieces)
    gone = [f"{piece.tag} {state_words(piece, on)}" for piece in box.pieces if not _here(piece)]
    states = {state_words(piece, on) for piece in box.pieces if not _here(piece)}
    if len(gone) > 1 and len(states) == 1:
        gone = [f"all {states.pop()}"]
    parts = ["no broach belongs to it"] if box.without_broach else []
    parts += [f"LACKS {lacking}: {'; '.join(gone)}"] if gone else []
    return "; ".join(parts) or "complete"


def days_words(first: date, last: date) -> str:
    """A day, or from one to another."""
    return str(first) if first == last else f"{first} to {last}"


def _here(piece: PieceStatus) -> bool:
    return piece.condition is Condition.FIT and piece.missing_since is None and piece.loan is None
