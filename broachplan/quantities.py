"""Forces, areas, speeds, torques, powers and pressures as whole numbers, read and written through Pint.

Pint is loaded only when such a figure is typed or shown: it costs more than the rest of a short command.
It never sees raw text. A number and a unit word of a closed list are taken apart here first.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

from broachplan.errors import InputError
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


@dataclass(frozen=True, order=True, slots=True)
class Speed:
    """A cutting speed in whole micrometres a minute."""

    um_per_min: int


@dataclass(frozen=True, order=True, slots=True)
class Torque:
    """A torque in whole micronewton metres."""

    micro: int

    @property
    def newton_metres(self) -> float:
        """The torque in newton metres."""
        return self.micro / 10**6


@dataclass(frozen=True, order=True, slots=True)
class Power:
    """A power in whole microwatts."""

    micro: int

    @property
    def watts(self) -> float:
        """The power in watts."""
        return self.micro / 10**6


@dataclass(frozen=True, order=True, slots=True)
class Pressure:
    """A stress or strength in whole pascals."""

    pa: int

    @property
    def mpa(self) -> float:
        """The stress in MPa, which is N/mm2."""
        return self.pa / 10**6


_DEFINITIONS = """
metre = [length] = m
second = [time] = s
kilogram = [mass] = kg
newton = kilogram * metre / second ** 2 = N
kilonewton = 1000 * newton = kN
pound = 0.45359237 * kilogram = lb
pound_force = pound * 9.80665 * metre / second ** 2 = lbf
short_ton_force = 2000 * pound_force
long_ton_force = 2240 * pound_force
tonne_force = 1000 * kilogram * 9.80665 * metre / second ** 2
millimetre = metre / 1000 = mm
inch = 0.0254 * metre = in
foot = 12 * inch = ft
micrometre = metre / 1000000 = um
minute = 60 * second = min
watt = newton * metre / second = W
kilowatt = 1000 * watt = kW
horsepower = 550 * foot * pound_force / second = hp
pascal = newton / metre ** 2 = Pa
megapascal = 1000000 * pascal = MPa
psi = pound_force / inch ** 2
ksi = 1000 * psi
""".strip().splitlines()
_FORCE_WORDS = {
    "kn": "kN",
    "n": "N",
    "lbf": "lbf",
    **dict.fromkeys(("short ton", "short tons"), "short_ton_force"),
    **dict.fromkeys(("long ton", "long tons"), "long_ton_force"),
    **dict.fromkeys(("tonne", "tonnes", "metric ton", "metric tons"), "tonne_force"),
}
_BARE_TON = re.compile(r"[^a-z]*(?:t|tons?)", re.ASCII)
_AREA_WORDS = {"in^2": "in ** 2", "mm^2": "mm ** 2"}
_SPEED_WORDS = {
    **dict.fromkeys(("ft/min", "fpm", "sfm"), "ft / min"),
    "m/min": "m / min",
    "m/s": "m / s",
}  # fmt: skip
_TORQUE_WORDS = {
    **dict.fromkeys(("n m", "nm"), "N * m"),
    **dict.fromkeys(("kn m", "knm"), "kN * m"),
    **dict.fromkeys(("n mm", "nmm"), "N * mm"),
    **dict.fromkeys(("lbf in", "in lbf", "lb in", "in lb"), "lbf * in"),
    **dict.fromkeys(("lbf ft", "ft lbf", "lb ft", "ft lb"), "lbf * ft"),
}
_POWER_WORDS = {"w": "W", "kw": "kW", "hp": "hp"}
_PRESSURE_WORDS = {
    **dict.fromkeys(("mpa", "n/mm^2", "n/mm2"), "MPa"),
    "psi": "psi",
    "ksi": "ksi",
}  # fmt: skip
_QUANTITY = re.compile(r"(?P<number>\d+(?:\.\d+)?|\.\d+) *(?P<unit>[a-z].*)", re.ASCII)
_TIMES = re.compile(r" *[-·⋅*. ] *")


def parse_force(text: str, what: str = "force") -> Force:
    """Read a force in kN, N, lbf, short tons, long tons or tonnes; a bare ``ton`` is refused, for there are three."""
    if _BARE_TON.fullmatch(text[: LONGEST_TEXT + 1].strip(" ").lower()):
        raise InputError(
            what,
            "there are three tons: write short ton (2,000 lbf), long ton (2,240 lbf) or tonne (2,204.6 lbf)",
            read=text,
        )
    return Force(_read(text, what, _FORCE_WORDS, "N", 1000, "30 kN, 500 N or 6000 lbf"))


def parse_area(text: str, what: str = "area") -> Area:
    """Read an area in in^2 or mm^2."""
    return Area(_read(text, what, _AREA_WORDS, "mm ** 2", 10**12, "0.012 in^2 or 7.5 mm^2"))


def parse_speed(text: str, what: str = "speed") -> Speed:
    """Read a cutting speed in ft/min (also written sfm), m/min or m/s."""
    return Speed(_read(text, what, _SPEED_WORDS, "um / min", 1, "80 ft/min or 25 m/min"))


def parse_torque(text: str, what: str = "torque") -> Torque:
    """Read a torque in N m, kN m, N mm, lbf in or lbf ft; the trade's ``ft-lb`` is a lbf ft."""
    return Torque(_read(text, what, _TORQUE_WORDS, "N * m", 10**6, "120 N m, 1060 lbf in or 88 lbf ft"))


def parse_power(text: str, what: str = "power") -> Power:
    """Read a power in kW, W or hp; a hp is the mechanical one, exactly 550 ft lbf/s."""
    return Power(_read(text, what, _POWER_WORDS, "W", 10**6, "7.5 kW or 10 hp"))


def parse_pressure(text: str, what: str = "strength") -> Pressure:
    """Read a stress or strength in MPa (the same as N/mm2), psi or ksi."""
    return Pressure(_read(text, what, _PRESSURE_WORDS, "Pa", 1, "340 MPa, 340 N/mm2, 50000 psi or 50 ksi"))


# The pound of 1959 under standard gravity; written out because plans show forces and Pint would double their start.
NEWTONS_PER_LBF = Fraction(45_359_237, 10**8) * Fraction(980_665, 10**5)


def show_force(newtons: float, units: Units, more: int = 0) -> str:
    """A force in words: pounds-force beside inches, kilonewtons beside millimetres; ``more`` adds decimals."""
    if units is Units.MM:
        return f"{newtons / 1000:.{2 + more}f} kN"
    return f"{newtons / float(NEWTONS_PER_LBF):,.{more}f} lbf"


def forces_between(low: float, high: float, units: Units) -> str:
    """A low and a high force with one unit behind them: ``674 to 1,471 lbf``."""
    return f"{show_force(low, units).rpartition(' ')[0]} to {show_force(high, units)}"


def show_forces_apart(units: Units, *newtons: float) -> list[str]:
    """Forces in words, with as many decimals as different ones need to look different, eight more at most."""
    shown: list[str] = []
    for more in range(9):
        shown = [show_force(force, units, more) for force in newtons]
        if len(set(shown)) == len(set(newtons)):
            break
    return shown


def show_speed(speed: Speed, units: Units) -> str:
    """A cutting speed in words: feet a minute beside inches, metres a minute beside millimetres."""
    unit, name = ("m / min", "m/min") if units is Units.MM else ("ft / min", "ft/min")
    return f"{speed.um_per_min * float(_factor('um / min', unit)):,.1f} {name}"


def show_torque(newton_metres: float, units: Units) -> str:
    """A torque in words: inch-pounds beside inches, newton metres beside millimetres."""
    if units is Units.MM:
        return f"{newton_metres:,.1f} N m"
    return f"{newton_metres * float(_factor('N * m', 'lbf * in')):,.0f} lbf in"


def show_power(power: Power, units: Units) -> str:
    """A power in words: horsepower beside inches, kilowatts beside millimetres."""
    unit = "kW" if units is Units.MM else "hp"
    return f"{power.watts * float(_factor('W', unit)):,.2f} {unit}"


def show_pressure(mpa: float, units: Units) -> str:
    """A stress in words: psi beside inches, MPa beside millimetres."""
    if units is Units.MM:
        return f"{mpa:,.1f} MPa"
    return f"{mpa * float(_factor('MPa', 'psi')):,.0f} psi"


def write_force(force: Force) -> str:
    """A force that reads back as the same force."""
    return f"{_decimal(Fraction(force.mn, 1000))} N"


def write_area(area: Area) -> str:
    """An area that reads back as the same area."""
    return f"{_decimal(Fraction(area.nm2, 10**12))} mm^2"


def _read(text: str, what: str, words: dict[str, str], base: str, scale: int, right: str) -> int:
    found = _QUANTITY.fullmatch(text.strip(" ").lower()) if len(text) <= LONGEST_TEXT else None
    unit = words.get(_TIMES.sub(" ", found["unit"].replace("²", "^2"))) if found else None
    if found is None or unit is None:
        raise InputError(what, f"write a number and its unit, for example {right}", read=text)
    value = round(Fraction(found["number"]) * _factor(unit, base) * scale)
    if not 0 < value <= _LARGEST * scale:
        raise InputError(what, "it must be above zero and of a size that exists", read=text)
    return value


@cache
def _factor(unit: str, base: str) -> Fraction:
    return Fraction(_registry().Quantity(Fraction(1), unit).to(base).magnitude)


@cache
def _registry() -> UnitRegistry:  # type: ignore[type-arg]
    from pint import UnitRegistry

    return UnitRegistry(_DEFINITIONS, non_int_type=Fraction)


def _decimal(value: Fraction) -> str:
    """Exact: the denominators here are powers of ten."""
    digits = f"{value.numerator * 10**12 // value.denominator:013d}"
    return f"{digits[:-12]}.{digits[-12:]}".rstrip("0").rstrip(".")
