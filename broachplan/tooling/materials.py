"""What a hub is made of, as far as the press feels it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from broachplan.errors import InputError, quoted
from broachplan.standards.materials import ForceFigures, material_rows

THINNEST_CHIP_MM = 0.02


class Group(StrEnum):
    """How a chip behaves in the gullet."""

    BRITTLE = "brittle"
    DUCTILE = "ductile"


@dataclass(frozen=True, slots=True)
class CuttingForce:
    """Specific cutting force kc = ``kc11`` x h^-``mc`` in N/mm2, h in mm and not below 0.02; ``mc`` 0: a constant."""

    kc11: float
    mc: float
    source: str
    status: str

    def at(self, chip_mm: float) -> float:
        """kc in N/mm2 for a chip ``chip_mm`` thick."""
        return self.kc11 * max(chip_mm, THINNEST_CHIP_MM) ** -self.mc if self.mc else self.kc11


@dataclass(frozen=True, slots=True)
class Material:
    """A material with a low estimate (sharp and oiled) and the larger source the high estimate builds on."""

    name: str
    group: Group
    low: CuttingForce
    high: CuttingForce


def find_material(name: str) -> Material:
    """The shipped material of that name, whatever its case; ``gray``, ``aluminum`` and ``grey iron`` are understood.

    Raises
    ------
    InputError : no such material; the message lists the names there are.
    """
    wanted = " ".join(name.lower().split()).replace("gray", "grey").replace("aluminum", "aluminium")
    wanted = wanted.replace("grey iron", "grey cast iron")
    try:
        return _materials()[wanted]
    except KeyError:
        raise InputError(f"material: read {quoted(name)}; there are: {', '.join(material_names())}") from None


def material_names() -> tuple[str, ...]:
    """The names of all shipped materials, in the table's order."""
    return tuple(material.name for material in _materials().values())


@cache
def _materials() -> dict[str, Material]:
    return {
        row.name.lower(): Material(row.name, Group(row.group), _force(row.low), _force(row.high))
        for row in material_rows()
    }


def _force(figures: ForceFigures) -> CuttingForce:
    return CuttingForce(figures.kc11, figures.mc, figures.source, figures.status)
