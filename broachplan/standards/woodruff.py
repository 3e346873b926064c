"""Woodruff keys and their keyseats. Sources: ASME B17.2 (inch), ISO 3912 (metric); shafts for inch keys: Shigley."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

from broachplan.lengths import Length, Limits
from broachplan.standards.corners import Corners, metric_corners
from broachplan.standards.table import cell, cell_or_none, rows


@dataclass(frozen=True, slots=True)
class InchWoodruff:
    """One key of the inch table.

    Depths lie at the edge, where the keyway's sides meet the surface; ``above_shaft`` is how far the seated key projects
    over that line. ``status`` is the depths', ``height_status`` the key height's, ``width_status`` that of widths,
    cutter and the key's own width tolerance.
    """

    number: str
    width: Length
    diameter: Length
    height: Limits
    shaft_width: Limits
    shaft_depth: Limits
    cutter_diameter: Limits
    above_shaft: Length
    hub_width: Limits
    hub_depth: Limits
    source: str
    status: str
    height_status: str
    width_status: str


@dataclass(frozen=True, slots=True)
class ShaftRange:
    """The shafts that keys of one width are tabled for, both ends included."""

    width: Length
    shaft_from: Length
    shaft_to: Length
    source: str
    status: str


class Shafts(NamedTuple):
    """Shafts over a diameter, to and including another (None: the table names no end)."""

    over: Length
    to: Length | None

    def hold(self, diameter: Length) -> bool:
        """Whether a shaft of this diameter is among them."""
        return self.over < diameter and (self.to is None or diameter <= self.to)


@dataclass(frozen=True, slots=True)
class MetricWoodruff:
    """One key of the metric table, with the shafts it is for; depths lie on the centre plane.

    ``torque`` and ``locating`` are the shafts that the key is tabled for when it carries torque and when it only
    locates; None where the table has none.
    """

    width: Length
    height: Length
    diameter: Length
    torque: Shafts | None
    locating: Shafts | None
    shaft_depth: Limits
    hub_depth: Limits
    corners: Corners
    source: str
    status: str


@cache
def inch_woodruffs() -> tuple[InchWoodruff, ...]:
    """The whole inch table, smallest diameter first, then by width."""
    return tuple(_inch(row) for row in rows("asme_b17_2_woodruff"))


@cache
def shaft_ranges() -> tuple[ShaftRange, ...]:
    """Shafts by key width; the table leaves out some widths."""
    return tuple(
        ShaftRange(
            cell(row["width"]), cell(row["shaft_from"]), cell(row["shaft_to"]), row["source"], row["status"]
        )
        for row in rows("shigley_woodruff_shaft_ranges")
    )


@cache
def metric_woodruffs() -> tuple[MetricWoodruff, ...]:
    """The whole metric table, smallest first."""
    return tuple(_metric(row) for row in rows("iso_3912_woodruff"))


def inch_woodruff(number: str) -> InchWoodruff | None:
    """The key of this number, or None."""
    return next((key for key in inch_woodruffs() if key.number == number), None)


def shaft_range(width: Length) -> ShaftRange | None:
    """The shafts for keys exactly ``width`` wide, or None where the table has none."""
    return next((row for row in shaft_ranges() if row.width == width), None)


def _inch(row: dict[str, str]) -> InchWoodruff:
    def between(name: str) -> Limits:
        return Limits(cell(row[f"{name}_upper"]), cell(row[f"{name}_lower"]), cell(row[f"{name}_upper"]))

    def and_over(name: str) -> Limits:
        return Limits(cell(row[name]), cell(row[name]), cell(row[f"{name}_upper"]))

    width, shaft_width = cell(row["width"]), between("shaft_width")
    return InchWoodruff(
        number=row["number"],
        width=width,
        diameter=cell(row["diameter"]),
        height=between("height"),
        shaft_width=Limits(width, shaft_width.lower, shaft_width.upper),
        shaft_depth=and_over("shaft_depth"),
        cutter_diameter=between("cutter_diameter"),
        above_shaft=cell(row["above_shaft"]),
        hub_width=and_over("hub_width"),
        hub_depth=and_over("hub_depth"),
        source=row["source"],
        status=row["status"],
        height_status=row["height_status"],
        width_status=row["width_status"],
    )


def _metric(row: dict[str, str]) -> MetricWoodruff:
    def depth(part: str) -> Limits:
        nominal = cell(row[f"{part}_depth"])
        return Limits(
            nominal,
            nominal + cell(row[f"{part}_depth_lower"]),
            nominal + cell(row[f"{part}_depth_upper"]),
        )

    def shafts(column: str) -> Shafts | None:
        over = cell_or_none(row[f"{column}_over"])
        return None if over is None else Shafts(over, cell_or_none(row[f"{column}_to"]))

    return MetricWoodruff(
        cell(row["width"]),
        cell(row["height"]),
        cell(row["diameter"]),
        shafts("torque"),
        shafts("locating"),
        depth("shaft"),
        depth("hub"),
        metric_corners(row),
        row["source"],
        row["status"],
    )
