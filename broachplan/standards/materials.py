"""Specific cutting forces of materials: a lower and a larger source each.

kc = kc1.1 x h^-mc in N/mm2, h the chip's thickness in mm; mc 0 is a constant. Sources and status stand in each row.
The lower is for a sharp and oiled edge; neither allows for a dulled one. Only grey iron is called brittle here: the
chips of the others are taken to need the larger room, which is the safe side (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from broachplan.standards.table import rows


@dataclass(frozen=True, slots=True)
class ForceFigures:
    """``kc11`` in N/mm2 for a chip 1 mm thick and 1 mm wide, and the exponent ``mc``."""

    kc11: float
    mc: float
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class MaterialRow:
    """One material: ``group`` is ``brittle`` or ``ductile``."""

    name: str
    group: str
    low: ForceFigures
    high: ForceFigures


@cache
def material_rows() -> tuple[MaterialRow, ...]:
    """The whole table."""
    return tuple(
        MaterialRow(row["name"], row["group"], _figures(row, "low"), _figures(row, "high"))
        for row in rows("cutting_force")
    )


def _figures(row: dict[str, str], side: str) -> ForceFigures:
    return ForceFigures(
        float(row[f"{side}_kc11"]), float(row[f"{side}_mc"]), row[f"{side}_source"], row[f"{side}_status"]
    )
