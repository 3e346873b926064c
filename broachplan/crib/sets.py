"""Marked boxes: which are complete, and what each of the others lacks."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from broachplan.crib.loans import PieceStatus
from broachplan.crib.records import Condition
from broachplan.tooling.figures import Kind


@dataclass(frozen=True, slots=True)
class ToolSet:
    """One marked box: the pieces that belong in it, by tag, without retired ones."""

    name: str
    pieces: tuple[PieceStatus, ...]

    @property
    def out(self) -> tuple[PieceStatus, ...]:
        """Those that somebody has."""
        return tuple(piece for piece in self.pieces if piece.loan)

    @property
    def lost(self) -> tuple[PieceStatus, ...]:
        """Those that a count did not find."""
        return tuple(piece for piece in self.pieces if piece.missing_since)

    @property
    def not_fit(self) -> tuple[PieceStatus, ...]:
        """Those that no plan uses until they are fit again."""
        return tuple(piece for piece in self.pieces if piece.condition is not Condition.FIT)

    @property
    def without_broach(self) -> bool:
        """Whether no broach belongs to it: a set is one broach with its bushings and shims."""
        return all(piece.kind is not Kind.BROACH for piece in self.pieces)

    @property
    def complete(self) -> bool:
        """Whether every piece is in its box and fit, a broach among them."""
        return not (self.out or self.lost or self.not_fit or self.without_broach)


def sets_of(pieces: Iterable[tuple[str, PieceStatus]]) -> tuple[ToolSet, ...]:
    """The sets that pieces with the names of their sets make up, by name; those without a set or retired are left out."""
    inside: dict[str, list[PieceStatus]] = defaultdict(list)
    for name, status in pieces:
        if name and not status.retired:
            inside[name].append(status)
    return tuple(
        ToolSet(name, tuple(sorted(inside[name], key=lambda piece: piece.tag))) for name in sorted(inside)
    )
