"""Inch parallel and taper keys by shaft diameter, and the limits of keys and keyseats. Source: ASME B17.1."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from broachplan.lengths import Length
from broachplan.standards.table import Zone, cell, cell_or_none, rows, zone_for, zones


@dataclass(frozen=True, slots=True)
class InchKey:
    """The key for shafts over ``shaft_over``, to and including ``shaft_to``; a height the table lacks is None."""

    shaft_over: Length
    shaft_to: Length
    width: Length
    square_height: Length | None
    rectangular_height: Length | None
    preferred: str
    source: str
    status: str


@cache
def inch_keys() -> tuple[InchKey, ...]:
    """The whole table, smallest shaft first."""
    return tuple(
        InchKey(
            cell(row["shaft_over"]),
            cell(row["shaft_to"]),
            cell(row["width"]),
            cell_or_none(row["square_height"]),
            cell_or_none(row["rectangular_height"]),
            row["preferred"],
            row["source"],
            row["status"],
        )
        for row in rows("asme_b17_1_keys")
    )


def inch_key_for_shaft(diameter: Length) -> InchKey | None:
    """The table's row for a shaft or bore, or None outside the table."""
    return next((key for key in inch_keys() if key.shaft_over < diameter <= key.shaft_to), None)


def inch_key_by_width(width: Length) -> InchKey | None:
    """The row whose key is exactly ``width`` wide, or None."""
    return next((key for key in inch_keys() if key.width == width), None)


@cache
def keyseat_widths() -> tuple[Zone, ...]:
    """Deviations of a keyseat's width, shaft and hub alike, labelled (fit class, shape), by key width."""
    return zones("asme_b17_1_keyseat_widths", "fit", "shape")


@cache
def keyseat_depths() -> tuple[Zone, ...]:
    """Deviations of the depth readings S and T, labelled (shaft or hub, fit class, shape), by key width."""
    return zones("asme_b17_1_keyseat_depths", "seat", "fit", "shape")


@cache
def key_stock() -> tuple[Zone, ...]:
    """Deviations of the key itself, labelled (stock, shape, width or height), by key width."""
    return zones("asme_b17_1_key_stock", "stock", "shape", "dimension")


def keyseat_width(fit: str, shape: str, width: Length) -> Zone | None:
    """Deviations of the width of a keyseat for a key ``width`` wide, or None outside the table."""
    return zone_for(keyseat_widths(), (fit, shape), width)


def keyseat_depth(seat: str, fit: str, shape: str, width: Length) -> Zone | None:
    """Deviations of the depth reading in ``shaft`` or ``hub``, or None outside the table."""
    return zone_for(keyseat_depths(), (seat, fit, shape), width)


def stock_limits(stock: str, shape: str, dimension: str, width: Length) -> Zone | None:
    """Deviations of a key's ``width`` or ``height`` by its stock, or None outside the table."""
    return zone_for(key_stock(), (stock, shape, dimension), width)
