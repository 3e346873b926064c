"""Metric parallel keys by shaft diameter. Source: ISO 773 / DIN 6885-1."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from broachplan.lengths import Length
from broachplan.standards.corners import Corners, metric_corners
from broachplan.standards.table import Zone, cell, rows


@dataclass(frozen=True, slots=True)
class MetricKey:
    """The key for shafts over ``shaft_over``, to and including ``shaft_to``.

    ``shaft_depth`` (t1) and ``hub_depth`` (t2) are taken on the centre plane from the uncut circle, with their
    deviations; ``hub_depth_no_top_clearance`` is the hub depth for a key that bears on top.
    """

    shaft_over: Length
    shaft_to: Length
    width: Length
    height: Length
    shaft_depth: Length
    shaft_zone: Zone
    hub_depth: Length
    hub_zone: Zone
    hub_depth_no_top_clearance: Length
    corners: Corners
    source: str
    status: str


@cache
def metric_keys() -> tuple[MetricKey, ...]:
    """The whole table, smallest shaft first."""
    return tuple(_row(row) for row in rows("iso_773_keys"))


def metric_key_for_shaft(diameter: Length) -> MetricKey | None:
    """The table's row for a shaft or bore, or None outside the table."""
    return next((key for key in metric_keys() if key.shaft_over < diameter <= key.shaft_to), None)


def metric_key_by_width(width: Length) -> MetricKey | None:
    """The row whose key is exactly ``width`` wide, or None."""
    return next((key for key in metric_keys() if key.width == width), None)


def _row(row: dict[str, str]) -> MetricKey:
    shaft_over, shaft_to = cell(row["shaft_over"]), cell(row["shaft_to"])

    def zone(part: str) -> Zone:
        lower, upper = cell(row[f"{part}_depth_lower"]), cell(row[f"{part}_depth_upper"])
        return Zone((part,), shaft_over, shaft_to, lower, upper, row["source"], row["status"])

    return MetricKey(
        shaft_over,
        shaft_to,
        cell(row["width"]),
        cell(row["height"]),
        cell(row["shaft_depth"]),
        zone("shaft"),
        cell(row["hub_depth"]),
        zone("hub"),
        cell(row["hub_depth_no_top_clearance"]),
        metric_corners(row),
        row["source"],
        row["status"],
    )
