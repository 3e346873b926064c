"""A piece as the crib keeps it: where it lives, in what state it is, how it was measured."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from broachplan.lengths import Length
from broachplan.tooling.pieces import Piece


class Condition(StrEnum):
    """What the last inspection found, or that nobody inspected it since it came back. Only a fit piece enters a plan."""

    FIT = "fit"
    WORN = "worn"
    UNFIT = "unfit"
    UNINSPECTED = "uninspected"

    @property
    def words(self) -> str:
        """As it is said of a piece; files and commands take the value."""
        return _WORDS.get(self.value, self.value)


_WORDS = {"unfit": "out of service", "uninspected": "back, not yet inspected"}
# What an inspection may find.
FOUND = (Condition.FIT, Condition.WORN, Condition.UNFIT)
# What is said of a piece that an inspection did not find fit.
KEEP_APART = "keep it apart, no plan uses it until it is fit"


@dataclass(frozen=True, slots=True)
class Measurement:
    """With what, when and by whom a piece's figures were measured, and to within which length; empty where not known."""

    with_what: str = ""
    on: date | None = None
    by: str = ""
    to: Length | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """A piece and what the crib knows about it beyond its figures.

    ``set_name`` names the marked box it belongs to; ``made_here`` marks what the shop made for itself.
    """

    piece: Piece
    set_name: str = ""
    home: str = ""
    condition: Condition = Condition.FIT
    note: str = ""
    measured: Measurement = field(default_factory=Measurement)
    made_here: bool = False
