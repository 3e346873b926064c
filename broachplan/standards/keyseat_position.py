"""How far an inch keyseat may lie off the middle plane, and how far it may lean. Source: ASME B17.1."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import NamedTuple

from broachplan.lengths import NM_PER_INCH, Length
from broachplan.standards.table import cell, cell_or_none, rows


class PositionRow(NamedTuple):
    """The most for keyseats over a length, to and including another (None: any); in all, or for each inch of length."""

    feature: str
    over: Length
    to: Length | None
    most: Length | None
    most_per_inch: Length | None
    source: str
    status: str

    def at(self, length: Length) -> Length:
        """The most for a keyseat of this length, half-even to 1 nm."""
        if self.most is not None:
            return self.most
        per_inch = self.most_per_inch or Length(0)
        return Length(round(Fraction(per_inch.nm * length.nm, NM_PER_INCH)))


@cache
def position_rows(feature: str) -> tuple[PositionRow, ...]:
    """The rows for ``offset`` (the same for every length) or ``lead``, shortest keyseat first."""
    return tuple(_row(row) for row in rows("asme_b17_1_keyseat_position") if row["feature"] == feature)


def lead_row(length: Length) -> PositionRow:
    """The row for the lead of a keyseat of this length, which must be above zero."""
    return next(
        row for row in position_rows("lead") if row.over < length and (row.to is None or length <= row.to)
    )


def _row(row: dict[str, str]) -> PositionRow:
    return PositionRow(
        row["feature"],
        cell(row["over"]),
        cell_or_none(row["to"]),
        cell_or_none(row["most"]),
        cell_or_none(row["most_per_inch"]),
        row["source"],
        row["status"],
    )
