"""Thicknesses in which shim stock is sold. From memory: no standard was read for them."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from broachplan.lengths import Length
from broachplan.standards.table import cell, rows


class ShimStock(NamedTuple):
    """One thickness, and where it is from."""

    thickness: Length
    source: str
    status: str


@cache
def shim_stock() -> tuple[ShimStock, ...]:
    """All thicknesses, the thinnest first."""
    stock = (ShimStock(cell(row["thickness"]), row["source"], row["status"]) for row in rows("shim_stock"))
    return tuple(sorted(stock))
