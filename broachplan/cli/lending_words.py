"""Who has what, in words, at 80 columns."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from broachplan.cli.layout import wrap

if TYPE_CHECKING:
    from broachplan.crib.sets import ToolSet
    from broachplan.desks.attendant.list_out import Out, OutList


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
    return f"{late}{piece.tag}, a {piece.kind}: {piece.loan.to} since {piece.loan.since}{piece.loan.terms}"


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
