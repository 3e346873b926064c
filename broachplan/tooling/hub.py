"""The hub on the press: bore, length and what else is known of it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum

from broachplan.errors import InputError
from broachplan.lengths import Length, Limits, System, write_exact
from broachplan.tooling.materials import Material

MOST_STACKED = 100


class BoreForm(StrEnum):
    """What the bore is like along its length."""

    THROUGH = "through"
    BLIND = "blind"
    TAPERED = "tapered"


class Scale(StrEnum):
    """Hardness scales that a drawing of a hub names."""

    HRC = "HRC"
    HB = "HB"


@dataclass(frozen=True, slots=True)
class Hardness:
    """A hardness number on its scale."""

    value: int
    scale: Scale


def parse_hardness(text: str) -> Hardness:
    """Read ``28 HRC`` or ``200 HB``."""
    found = re.fullmatch(r" *(\d{1,3}) *(HRC|HB|HBW) *", text, re.ASCII | re.IGNORECASE)
    if not found or not int(found[1]):
        raise InputError("hardness", "write a number and its scale, for example 28 HRC or 200 HB", read=text)
    return Hardness(int(found[1]), Scale.HRC if found[2].upper() == "HRC" else Scale.HB)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hub:
    """A hub, or ``stack`` like hubs cut at once. Unknown figures are None and the rules that need them say so.

    ``material_remark`` says why another name for a material was taken for this one. ``bore_measured`` is what the bore
    really is: it counts for the play of the bushing and for gauging, and for nothing that is cut.
    """

    bore: Limits
    length: Length
    system: System = System.INCH
    bore_toleranced: bool = True
    stack: int = 1
    outside_diameter: Length | None = None
    hardness: Hardness | None = None
    material: Material | None = None
    material_remark: str | None = None
    bore_form: BoreForm = BoreForm.THROUGH
    bore_measured: Length | None = None

    def __post_init__(self) -> None:
        if not 1 <= self.stack <= MOST_STACKED:
            raise InputError("stack", f"a stack is 1 to {MOST_STACKED} hubs", shown=self.stack)
        if self.length.nm <= 0 or self.bore.lower.nm <= 0:
            raise InputError("", "a hub's length and bore must be above zero")
        if self.bore_measured is not None and self.bore_measured not in self.bore:
            raise InputError(
                f"bore as measured {write_exact(self.bore_measured)}",
                f"it must lie within the bore's limits, {write_exact(self.bore.lower)} to {write_exact(self.bore.upper)}"
                if self.bore_toleranced
                else f"the bore was given without limits, as {write_exact(self.bore.nominal)}: give its limits",
            )
        if self.outside_diameter is not None and self.outside_diameter <= self.bore.upper:
            raise InputError(
                f"hub outside diameter {write_exact(self.outside_diameter)}",
                f"it must be more than the bore, {write_exact(self.bore.upper)}",
            )

    @property
    def widest_bore(self) -> Length:
        """The bore as measured, else the widest that it may be."""
        return self.bore_measured or self.bore.upper

    @property
    def cut_length(self) -> Length:
        """Length of the cut: all the hubs of the stack."""
        return self.length * self.stack


def read_stack(text: str) -> int:
    """How many like hubs are cut at once: a whole number from 1."""
    plain = text.strip()
    if not (plain.isascii() and plain.isdigit() and len(plain) < 4 and 1 <= int(plain) <= MOST_STACKED):
        raise InputError("stack", f"write how many hubs are stacked, 1 to {MOST_STACKED}", read=text)
    return int(plain)


def read_bore_form(text: str) -> BoreForm:
    """What the bore is like: ``through``, ``blind`` or ``tapered``."""
    try:
        return BoreForm(text.strip().lower())
    except ValueError:
        raise InputError("bore form", "write through, blind or tapered", read=text) from None
