"""Specific cutting forces of materials, a low and a high law each, and the other names that shops use for them.

kc = kc1.1 x h^-mc in N/mm2, h the chip's thickness in mm; mc 0 is a constant. Each row has its sources and status.
Low: a sharp and oiled edge, from a handbook's broaching pressures where it has any. High: kc1.1 and mc of the machining
literature, before the factor for a dulled edge. The steels chosen rank alike in both columns at every chip from 0.01 to
0.20 mm. Only grey iron is called brittle here: the chips of the others are taken to need the larger room, which is the
safe side (common practice, no source).
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


@dataclass(frozen=True, slots=True)
class NameRow:
    """Another ``name`` for a material, and why it is taken for that one."""

    name: str
    material: str
    source: str


@cache
def material_rows() -> tuple[MaterialRow, ...]:
    """The whole table of cutting forces."""
    return tuple(
        MaterialRow(row["name"], row["group"], _figures(row, "low"), _figures(row, "high"))
        for row in rows("cutting_force")
    )


@cache
def name_rows() -> tuple[NameRow, ...]:
    """The other names of all materials."""
    return tuple(NameRow(row["name"], row["material"], row["source"]) for row in rows("material_names"))


def _figures(row: dict[str, str], side: str) -> ForceFigures:
    return ForceFigures(
        float(row[f"{side}_kc11"]), float(row[f"{side}_mc"]), row[f"{side}_source"], row[f"{side}_status"]
    )
