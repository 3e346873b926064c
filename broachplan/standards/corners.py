"""Radii in a keyway's corners and chamfers of its key."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from broachplan.lengths import Length
from broachplan.standards.table import cell, rows


class Corners(NamedTuple):
    """Smallest and largest radius in the corners of a keyway, and of the key's 45 degree chamfer where there is one."""

    radius: tuple[Length, Length]
    chamfer: tuple[Length, Length] | None
    source: str
    status: str


def metric_corners(row: dict[str, str]) -> Corners:
    """The corners in a row of a metric table of keys."""
    chamfer = (cell(row["chamfer_lower"]), cell(row["chamfer_upper"])) if row.get("chamfer_lower") else None
    radius = (cell(row["corner_radius_lower"]), cell(row["corner_radius_upper"]))
    return Corners(radius, chamfer, row["source"], row["status"])


@cache
def _inch_corners() -> tuple[tuple[Length, Length, Corners], ...]:
    """Half of the key's height over, to and including, and what is suggested for it. Source: ASME B17.1."""
    table = []
    for row in rows("asme_b17_1_corners"):
        radius, chamfer = cell(row["fillet_radius"]), cell(row["key_chamfer"])
        corners = Corners((radius, radius), (chamfer, chamfer), row["source"], row["status"])
        table.append((cell(row["over"]), cell(row["to"]), corners))
    return tuple(table)


def inch_corners(height: Length) -> Corners | None:
    """Fillet and chamfer suggested for an inch key of this height, or None outside the table. Source: ASME B17.1."""
    return next((what for over, to, what in _inch_corners() if over * 2 < height <= to * 2), None)
