"""The strength advisory from what people write: every figure as text, read once, refused in one sentence."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from broachplan.errors import InputError, quoted
from broachplan.keyways.key import Key, read_key, read_standard, standard_of
from broachplan.keyways.keyway import Shape, Standard
from broachplan.keyways.parallel import joint
from broachplan.keyways.strength import Load, Strength, Strengths, key_strength
from broachplan.lengths import Length, System, parse_length, read_limits
from broachplan.quantities import Pressure, parse_power, parse_pressure, parse_torque

_NUMBER = re.compile(r"\d{1,7}(?:\.\d{1,6})?", re.ASCII)
_A_MINUTE = re.compile(r" *(?:rpm|rev/min|1/min)$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """The questions of a strength advisory as they were typed; empty: not known."""

    shaft: str
    standard: str = ""
    key: str = ""
    torque: str = ""
    power: str = ""
    rpm: str = ""
    length: str = ""
    key_yield: str = ""
    shear_strength: str = ""
    bearing_strength: str = ""
    shaft_yield: str = ""
    hub_yield: str = ""
    safety: str = ""


def read_strength(written: Written) -> Strength:
    """Read the questions and answer them, for the shaft's nominal size.

    Raises
    ------
    InputError : a figure that cannot be read or cannot be; see `key_strength` and `joint`.
    """
    limits, system, _ = read_limits(written.shaft, "shaft")
    key, remarks = _key(written, limits.nominal, system)
    return key_strength(
        limits.nominal,
        key,
        Strengths(
            key_yield=_pressure(written.key_yield, "key yield"),
            key_shear=_pressure(written.shear_strength, "shear strength"),
            key_bearing=_pressure(written.bearing_strength, "bearing strength"),
            shaft_yield=_pressure(written.shaft_yield, "shaft yield"),
            hub_yield=_pressure(written.hub_yield, "hub yield"),
        ),
        Load(
            torque=parse_torque(written.torque) if written.torque else None,
            power=parse_power(written.power) if written.power else None,
            rpm=_number(written.rpm, "rpm", "1450", _A_MINUTE) if written.rpm else None,
        ),
        length=parse_length(written.length) if written.length else None,
        safety=_number(written.safety, "safety", "2") if written.safety else None,
        remarks=remarks,
    )


def _key(written: Written, shaft: Length, system: System) -> tuple[Key, tuple[str, ...]]:
    """The key named by width and height, else the standard's with what there is to say of it."""
    standard = read_standard(written.standard) if written.standard else standard_of(system)
    if standard not in (Standard.INCH, Standard.METRIC):
        raise InputError(f"standard: read {standard}; strength is reckoned for parallel keys, inch or metric")
    size = read_key(written.key) if written.key else None
    if size and size.height:
        shape = Shape.SQUARE if size.width == size.height else Shape.RECTANGULAR
        return Key(size.width, size.height, shape), ()
    by_standard = joint(shaft, standard=standard, key=size)
    return by_standard.key, by_standard.remarks


def _pressure(text: str, what: str) -> Pressure | None:
    return parse_pressure(text, what) if text else None


def _number(text: str, what: str, right: str, unit: re.Pattern[str] | None = None) -> Fraction:
    plain = text[:40].strip(" ").lower()
    number = unit.sub("", plain) if unit else plain
    if not _NUMBER.fullmatch(number) or not (value := Fraction(number)):
        raise InputError(f"{what}: read {quoted(text)}; write a number above zero, for example {right}")
    return value
