"""Forces and areas: whole millinewtons and square nanometres, read and written through Pint.

Pint is loaded only when such a figure is typed or shown: it costs more than the rest of a short command.
It never sees raw text. A number and a unit word of a closed list are taken apart here first.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

from broachplan.errors import InputError, quoted
from broachplan.lengths import Units

if TYPE_CHECKING:
    from pint import UnitRegistry

LONGEST_TEXT = 40
_LARGEST = 10**15


@dataclass(frozen=True, order=True, slots=True)
class Force:
    """A force in whole millinewtons."""

    mn: int

    @property
    def newtons(self) -> float:
        """The force in newtons."""
        return self.mn / 1000


@dataclass(frozen=True, order=True, slots=True)
class Area:
    """An area in whole square nanometres."""

    nm2: int


_DEFINITIONS = """
metre = [length] = m
second = [time] = s
kilogram = [mass] = kg
newton = kilogram * metre / second ** 2 = N
kilonewton = 1000 * newton = kN
pound = 0.45359237 * kilogram = lb
pound_force = pound * 9.80665 * metre / second ** 2 = lbf
millimetre = metre / 1000 = mm
inch = 0.0254 * metre = in
""".strip().splitlines()
_FORCE_WORDS = {"kn": "kN", "n": "N", "lbf": "lbf"}
_AREA_WORDS = {"in^2": "in ** 2", "in²": "in ** 2", "mm^2": "mm ** 2", "mm²": "mm ** 2"}
_QUANTITY = re.compile(r"(?P<number>\d+(?:\.\d+)?|\.\d+)\s*(?P<unit>[a-z]+(?:\^2|²)?)", re.ASCII)


def parse_force(text: str, what: str = "force") -> Force:
    """Read a force in kN, N or lbf; a bare ``ton`` is refused, for three different tons exist."""
    if re.search(r"\bton(ne)?s?\b", text[: LONGEST_TEXT + 1].lower()):
        raise InputError(
            f"{what}: read {quoted(text)}; there are three tons: write it in kN, N or lbf, for example 30 kN"
        )
    return Force(_read(text, what, _FORCE_WORDS, "N", 1000, "30 kN, 500 N or 6000 lbf"))


def parse_area(text: str, what: str = "area") -> Area:
    """Read an area in in^2 or mm^2."""
    return Area(_read(text, what, _AREA_WORDS, "mm ** 2", 10**12, "0.012 in^2 or 7.5 mm^2"))


def show_force(newtons: float, units: Units) -> str:
    """A force in words: pounds-force beside inches, kilonewtons beside millimetres."""
    if units is Units.MM:
        return f"{newtons / 1000:.2f} kN"
    return f"{newtons * _factor('N', 'lbf'):,.0f} lbf"


def write_force(force: Force) -> str:
    """A force that reads back as the same force."""
    return f"{_decimal(Fraction(force.mn, 1000))} N"


def write_area(area: Area) -> str:
    """An area that reads back as the same area."""
    return f"{_decimal(Fraction(area.nm2, 10**12))} mm^2"


def _read(text: str, what: str, words: dict[str, str], base: str, scale: int, right: str) -> int:
    found = _QUANTITY.fullmatch(text.strip().lower()) if len(text) <= LONGEST_TEXT else None
    unit = words.get(found["unit"]) if found else None
    if found is None or unit is None:
        raise InputError(f"{what}: read {quoted(text)}; write a number and its unit, for example {right}")
    value = round(Fraction(found["number"]) * Fraction(_factor(unit, base)).limit_denominator(10**14) * scale)
    if not 0 < value <= _LARGEST * scale:
        raise InputError(f"{what}: read {quoted(text)}; it must be above zero and of a size that exists")
    return value


@cache
def _factor(unit: str, base: str) -> float:
    return float(_registry().Quantity(1, unit).to(base).magnitude)


@cache
def _registry() -> UnitRegistry:  # type: ignore[type-arg]
    from pint import UnitRegistry

    return UnitRegistry(_DEFINITIONS)


def _decimal(value: Fraction) -> str:
    """Exact: the denominators here are powers of ten."""
    digits = f"{value.numerator * 10**12 // value.denominator:013d}"
    return f"{digits[:-12]}.{digits[-12:]}".rstrip("0").rstrip(".")
