"""Who has what, in words: one line for an act, at 80 columns for a list."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from broachplan.cli.layout import wrap
from broachplan.crib.records import Condition

if TYPE_CHECKING:
    from broachplan.crib.loans import Loan
    from broachplan.crib.sets import ToolSet
    from broachplan.desks.attendant.lend_piece import Lent
    from broachplan.desks.attendant.list_out import Out, OutList
    from broachplan.desks.attendant.return_piece import Returned


def lent_in_words(lent: Lent, of_set: str = "") -> str:
    """What was lent, to whom, until when."""
    what = f"set {of_set.strip()} ({', '.join(lent.tags)})" if of_set else lent.tags[0]
    return f"{what} lent to {lent.loan.to}{_terms(lent.loan)}"


def returned_in_words(returned: Returned) -> str:
    """What came back, in what condition, and where it belongs."""
    place = f"; its home is {returned.home}" if returned.home else ""
    if returned.condition is not Condition.FIT:
        place = f"; keep it apart, no plan uses it until it is fit{place}"
    due = f"; {'; '.join(returned.due)}" if returned.due else ""
    return f"{returned.tag} is back from {returned.loan.to}, {returned.condition}{place}{due}"


def out_in_words(listed: OutList) -> Iterator[str]:
    """A line for each piece that is out."""
    for piece in listed:
        yield from wrap(_out(piece), "  ", "    ")
    late = sum(piece.overdue for piece in listed)
    total = f"{len(listed.pieces)} piece{'' if len(listed.pieces) == 1 else 's'} out"
    yield f"{total}, {late} overdue" if late else total


def sets_in_words(listed: Sequence[ToolSet]) -> Iterator[str]:
    """A line for each set."""
    for box in listed:
        yield from wrap(f"{box.name} ({len(box.pieces)}): {_box(box)}", "  ", "    ")
    complete = sum(box.complete for box in listed)
    yield f"{len(listed)} set{'' if len(listed) == 1 else 's'}, {complete} complete"


def _out(piece: Out) -> str:
    late = "OVERDUE  " if piece.overdue else ""
    return f"{late}{piece.tag}, a {piece.kind}: {piece.loan.to} since {piece.loan.since}{_terms(piece.loan)}"


def _terms(loan: Loan) -> str:
    return f"{f', due {loan.due}' if loan.due else ''}{f', job {loan.job}' if loan.job else ''}"


def _box(box: ToolSet) -> str:
    if box.complete:
        return "complete"
    missing = ["no broach belongs to it"] if box.without_broach else []
    missing += [
        f"{piece.tag} is out to {piece.loan.to} since {piece.loan.since}" for piece in box.out if piece.loan
    ]
    missing += [f"{piece.tag} is missing since {piece.missing_since}" for piece in box.lost]
    missing += [f"{piece.tag} is {piece.condition}" for piece in box.not_fit]
    return "; ".join(missing)
