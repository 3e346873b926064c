"""What a hub is made of, as it affects the press."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from typing import Protocol

from broachplan.errors import InputError, quoted
from broachplan.standards.constants import THINNEST_CHIP
from broachplan.standards.materials import ForceFigures, material_rows, name_rows

RANK_NOTE = (
    "these steels were chosen so that a harder one never takes less force; tables for turning put some soft steels "
    "(St 50-2) above medium ones at thin chips"
)
_NEAREST_SHOWN = 5
_THICKEST_CHIP_MM = 1.0
_SPELLING = "spelling"
_PREFIX = re.compile(r"(aisi|sae|astm|uns|din|bs|grade|type|material)(?=[a-z0-9])")


class Group(StrEnum):
    """How a chip behaves in the gullet."""

    BRITTLE = "brittle"
    DUCTILE = "ductile"


class ForceLaw(Protocol):
    """A specific cutting force that falls as the chip grows, no faster than h^-``mc``."""

    @property
    def mc(self) -> float:
        """The steepest exponent anywhere."""

    def at(self, chip_mm: float) -> float:
        """kc in N/mm2 for a chip ``chip_mm`` thick."""


@dataclass(frozen=True, slots=True)
class CuttingForce:
    """Specific cutting force kc = ``kc11`` x h^-``mc`` in N/mm2, h in mm and not below 0.02; ``mc`` 0: a constant."""

    kc11: float
    mc: float
    source: str
    status: str

    def at(self, chip_mm: float) -> float:
        """kc in N/mm2 for a chip ``chip_mm`` thick."""
        thinnest = THINNEST_CHIP.value
        return self.kc11 * (chip_mm if chip_mm > thinnest else thinnest) ** -self.mc if self.mc else self.kc11


@dataclass(frozen=True, slots=True)
class HigherOf:
    """The larger of two laws at every chip."""

    one: CuttingForce
    other: CuttingForce

    @property
    def mc(self) -> float:
        """The steeper of the two exponents."""
        return max(self.one.mc, self.other.mc)

    def at(self, chip_mm: float) -> float:
        """kc in N/mm2 for a chip ``chip_mm`` thick."""
        return max(self.one.at(chip_mm), self.other.at(chip_mm))


@dataclass(frozen=True, slots=True)
class OtherName:
    """What else a shop calls a material, and why it is taken for that one."""

    name: str
    source: str


@dataclass(frozen=True, slots=True)
class Material:
    """A material with its low law (sharp and oiled), the high one before a dulled edge, and its other names."""

    name: str
    group: Group
    low: CuttingForce
    high: CuttingForce
    others: tuple[OtherName, ...] = ()

    @property
    def other_names(self) -> tuple[str, ...]:
        """What else it may be called when it is typed or picked from a list."""
        return tuple(other.name for other in self.others)

    def high_with(self, dull_edge: float) -> ForceLaw:
        """The high law as it is used: times ``dull_edge``, and never under the low one at any chip."""
        high = CuttingForce(self.high.kc11 * dull_edge, self.high.mc, self.high.source, self.high.status)
        # Two powers of the chip cross once at most: what holds at both ends holds between them.
        ends = (THINNEST_CHIP.value, _THICKEST_CHIP_MM)
        above = all(self.low.at(chip) <= high.at(chip) for chip in ends)
        return high if above else HigherOf(self.low, high)


def materials() -> tuple[Material, ...]:
    """All shipped materials, in the table's order: for a list to pick from."""
    return tuple(_materials().values())


def material_names() -> tuple[str, ...]:
    """The names of all shipped materials, in the table's order."""
    return tuple(_materials())


def find_material(name: str) -> Material:
    """The shipped material of that name or other name, whatever its case, hyphens and spaces; ``gray`` is ``grey``.

    Raises
    ------
    InputError : no such material; the message names the nearest, or all there are where none is near.
    """
    found = _lookup(name)
    if found is None:
        raise InputError("material", _nearest(name), read=name)
    return found[0]


def why_taken_for(name: str) -> str | None:
    """For a name that is not the table's own: which material it is taken for and why; None for the table's own names."""
    found = _lookup(name)
    if found is None or found[1] is None:
        return None
    return f"material {quoted(name.strip())} is taken as {found[0].name} ({found[1]})"


def _lookup(name: str) -> tuple[Material, str | None] | None:
    key = _key(name)
    return _by_key().get(key) or _by_key().get(_PREFIX.sub("", key, count=1))


def _nearest(name: str) -> str:
    """The names most like what was typed, each with its material where it is another name for one."""
    from difflib import get_close_matches

    shown = {_key(one): one for material in materials() for one in (*material.other_names, material.name)}
    near = get_close_matches(_key(name), shown, n=_NEAREST_SHOWN, cutoff=0.6)
    if not near:
        return f"there are: {', '.join(material_names())}, and other names for them"
    names = []
    for key in near:
        material = _by_key()[key][0]
        names.append(material.name if key == _key(material.name) else f"{shown[key]} ({material.name})")
    return f"the nearest names are: {', '.join(names)}"


def _key(name: str) -> str:
    """A name without case, spaces and signs, in British spelling."""
    plain = name.lower().replace("gray", "grey").replace("aluminum", "aluminium")
    return re.sub(r"[^a-z0-9]", "", plain)


@cache
def _materials() -> dict[str, Material]:
    others: dict[str, list[OtherName]] = {}
    for row in name_rows():
        others.setdefault(row.material, []).append(OtherName(row.name, row.source))
    return {
        row.name: Material(
            row.name, Group(row.group), _force(row.low), _force(row.high), tuple(others.get(row.name, ()))
        )
        for row in material_rows()
    }


@cache
def _by_key() -> dict[str, tuple[Material, str | None]]:
    """Every name by its key: the material, and for an other name why it is taken for that one."""
    found: dict[str, tuple[Material, str | None]] = {}
    for material in materials():
        for other in material.others:
            why = None if other.source == _SPELLING else other.source
            found[_key(other.name)] = material, why
    # Last, so that the table's own name wins.
    return found | {_key(material.name): (material, None) for material in materials()}


def _force(figures: ForceFigures) -> CuttingForce:
    return CuttingForce(figures.kc11, figures.mc, figures.source, figures.status)
