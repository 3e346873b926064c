"""Lengths as whole nanometres, read from what people write and shown as they read it.

1 in = 25 400 000 nm, so 1/64 in, 0.0001 in and 1 µm are exact, and so is every sum of a stack of
shims. A figure that does not come out whole (1/128 in, 1/3 in) is rounded half-even once, on reading.
Source of the five factors: the international inch of 1959 (exactly 25.4 mm) and SI prefixes.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import NamedTuple

from broachplan.errors import InputError, quoted

LONGEST_TEXT = 40
LONGEST_LIMITS_TEXT = 80
NM_PER_INCH = 25_400_000
NM_PER_MM = 1_000_000
_LARGEST_NM = 10_000_000_000  # 10 m: nothing on a press or in a drawer is longer


class System(StrEnum):
    """The system of units a length was written in."""

    INCH = "inch"
    METRIC = "metric"


class Units(StrEnum):
    """How lengths are shown."""

    INCH = "inch"
    FRACTION = "fraction"
    MM = "mm"


def units_of(system: System) -> Units:
    """The units of a system, in decimals."""
    return Units.MM if system is System.METRIC else Units.INCH


@dataclass(frozen=True, order=True, slots=True)
class Length:
    """A length, a difference of two lengths or a deviation, in whole nanometres."""

    nm: int

    @classmethod
    def inches(cls, value: Fraction | int | str) -> Length:
        """The length of ``value`` inches, rounded half-even to 1 nm."""
        return cls(round(Fraction(value) * NM_PER_INCH))

    @classmethod
    def mm(cls, value: Fraction | int | str) -> Length:
        """The length of ``value`` millimetres, rounded half-even to 1 nm."""
        return cls(round(Fraction(value) * NM_PER_MM))

    @property
    def in_mm(self) -> float:
        """Millimetres as a float, for forces and areas only."""
        return self.nm / NM_PER_MM

    def __add__(self, other: Length) -> Length:
        return Length(self.nm + other.nm)

    def __sub__(self, other: Length) -> Length:
        return Length(self.nm - other.nm)

    def __mul__(self, count: int) -> Length:
        return Length(self.nm * count)

    def __neg__(self) -> Length:
        return Length(-self.nm)

    def __abs__(self) -> Length:
        return Length(abs(self.nm))

    def __bool__(self) -> bool:
        return self.nm != 0


@dataclass(frozen=True, slots=True)
class Limits:
    """A size and the limits it may lie between: ``lower <= nominal``, ``nominal <= upper`` need not hold."""

    nominal: Length
    lower: Length
    upper: Length

    def __post_init__(self) -> None:
        if self.lower > self.upper:
            raise InputError("", "the lower limit must not be above the upper limit")

    @classmethod
    def exactly(cls, size: Length) -> Limits:
        """Limits of no width: the size itself."""
        return cls(size, size, size)

    @property
    def spread(self) -> Length:
        """Upper limit less lower limit."""
        return self.upper - self.lower

    def __contains__(self, size: Length) -> bool:
        return self.lower <= size <= self.upper


class WrittenLimits(NamedTuple):
    """Limits as someone wrote them: with the system of the unit, and whether limits were given at all."""

    limits: Limits
    system: System
    toleranced: bool


class WrittenLength(NamedTuple):
    """A length as someone wrote it, with the system of its unit."""

    length: Length
    system: System


_UNIT_WORDS: dict[str, tuple[System, int]] = {
    **dict.fromkeys(("in", "in.", "inch", "inches", '"', "″", "”"), (System.INCH, NM_PER_INCH)),
    "thou": (System.INCH, NM_PER_INCH // 1000),
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), (System.METRIC, NM_PER_MM)),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), (System.METRIC, 10_000_000)),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), (System.METRIC, 1_000_000_000)),
}  # fmt: skip
_VULGAR = {
    "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5",
    "⅙": "1/6", "⅚": "5/6", "⅐": "1/7", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅑": "1/9", "⅒": "1/10",
}  # fmt: skip
_PLAIN = str.maketrans({"\u2044": "/", "\u2212": "-", "\u00a0": " ", "\u2009": " ", "\u202f": " "})
_NUMBER = r"(?:\d+(?: +|-)\d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?|[.,]\d+)"
_LENGTH = re.compile(rf"(?P<number>{_NUMBER}) *(?P<unit>[a-z]+\.?|[\"″”])", re.ASCII)
_BARE = re.compile(_NUMBER, re.ASCII)
_ZERO = r"(?=0(?![./,\d]| +\d|-\d+/))"  # the one deviation that needs no sign
_DEVIATION = re.compile(rf" *(?P<sign>\+/-|\+-|±|[+-]|{_ZERO}) *(?P<number>{_NUMBER})", re.ASCII)
_UNIT_AFTER = re.compile(r" *(?P<unit>[a-z]+\.?|[\"″”])")
_GROUPED = re.compile(r"[1-9]\d{0,2},\d{3}", re.ASCII)
_RIGHT = "write a number and its unit, for example 1-1/4 in, 0.625 in, 625 thou or 30 mm"


def read_length(text: str, what: str = "length") -> WrittenLength:
    """Read one positive size with its unit.

    Parameters
    ----------
    text : what was typed, at most 40 characters: ``1-1/4 in``, ``⅝"``, ``625 thou``, ``30,5 mm``.
    what : the name of the figure, for the message.

    Raises
    ------
    InputError : a bare number, a comma that could mean two things, a size that is not positive or is
        over 10 m, anything outside the grammar. The message says what was read and what would be right.

    >>> read_length("1-1/4 in").length
    Length(nm=31750000)
    """
    plain = _plain(text, what, LONGEST_TEXT)
    found = _LENGTH.fullmatch(plain)
    if found is None:
        raise _not_a_length(text, plain, what)
    system, factor = _unit(found["unit"], text, what)
    return WrittenLength(_size(found["number"], factor, text, what), system)


def parse_length(text: str, what: str = "length") -> Length:
    """Read one positive size with its unit; see `read_length`."""
    return read_length(text, what).length


def read_limits(text: str, what: str = "size") -> WrittenLimits:
    """Read a size that may carry deviations in the same unit.

    ``1 in +0.001 -0.000``, ``8 mm +0.018 -0.018``, ``8 mm ±0.018``, ``25 mm +0.021 0``; both deviations may
    have one sign (``8 mm -0.015 -0.051``). Without deviations both limits are the size itself.

    Raises
    ------
    InputError : as `read_length`; also when there is only one deviation, or a limit is not positive or is over 10 m.
    """
    plain = _plain(text, what, LONGEST_LIMITS_TEXT)
    found = _LENGTH.match(plain)
    if found is None or len(found.group()) > LONGEST_TEXT:
        raise _not_a_length(text, plain, what)
    system, factor = _unit(found["unit"], text, what)
    nominal = _size(found["number"], factor, text, what)
    rest = plain[found.end() :].strip(" ")
    if not rest:
        return WrittenLimits(Limits.exactly(nominal), system, False)
    low, high = _deviations(rest, factor, text, what)
    if nominal.nm + low <= 0:
        raise InputError(what, "the lower limit must be above zero", read=text)
    if nominal.nm + high > _LARGEST_NM:
        raise InputError(what, "the upper limit must not be over 10 m", read=text)
    return WrittenLimits(Limits(nominal, Length(nominal.nm + low), Length(nominal.nm + high)), system, True)


def show(length: Length, units: Units) -> str:
    """A length in words: ``0.6250 in``, ``1-1/4 in`` (else decimals), or ``15.875 mm``."""
    if units is Units.MM:
        return f"{_decimal(length.nm, NM_PER_MM, 3)} mm"
    if units is Units.FRACTION and length.nm % (NM_PER_INCH // 64) == 0:
        return f"{_mixed(Fraction(length.nm, NM_PER_INCH))} in"
    return f"{_decimal(length.nm, NM_PER_INCH, 4)} in"


def write_exact(length: Length) -> str:
    """The shortest decimal that reads back as the same length: inches where they come out, else millimetres."""
    in_mm = f"{_trimmed(length.nm, 6)} mm"
    if length.nm * 10**6 % NM_PER_INCH == 0:
        in_inches = f"{_trimmed(length.nm * 10**6 // NM_PER_INCH, 6)} in"
        if len(in_inches) <= len(in_mm):
            return in_inches
    return in_mm


def _plain(text: str, what: str, longest: int) -> str:
    if len(text) > longest:
        raise InputError(what, f"at most {longest} characters: {_RIGHT}", read=text)
    for sign, fraction in _VULGAR.items():
        text = text.replace(sign, f" {fraction}")
    return re.sub(r" +", " ", text.translate(_PLAIN)).strip(" ").lower()


def _unit(word: str, text: str, what: str) -> tuple[System, int]:
    try:
        return _UNIT_WORDS[word]
    except KeyError:
        raise InputError(what, f"unknown unit {quoted(word)}: use in, thou, mm, cm or m", read=text) from None


def _size(number: str, factor: int, text: str, what: str) -> Length:
    nm = round(_value(number, text, what) * factor)
    if nm <= 0:
        raise InputError(what, "it must be above zero", read=text)
    if nm > _LARGEST_NM:
        raise InputError(what, "it must not be over 10 m", read=text)
    return Length(nm)


def _value(number: str, text: str, what: str) -> Fraction:
    if _GROUPED.fullmatch(number):
        whole, decimals = number.split(",")
        raise InputError(
            what,
            "",
            read=text,
            fault=f", which could be {whole}.{decimals} or {whole}{decimals}: write it with a point or without the comma",
        )
    whole, _, part = number.replace("-", " ").rpartition(" ")
    if "/" not in part:
        return Fraction(part.replace(",", "."))
    over, under = map(int, part.split("/"))
    if under == 0:
        raise InputError(what, "a fraction must not have zero below the line", read=text)
    if whole and over >= under:
        raise InputError(what, "in a mixed number the fraction must be below one", read=text)
    return Fraction(over, under) + (int(whole) if whole else 0)


def _deviations(rest: str, factor: int, text: str, what: str) -> tuple[int, int]:
    """The two deviations in nm, lower first."""
    values: list[int] = []
    position, both = 0, False
    body = rest.replace("/", " ") if re.fullmatch(r"[^/]*\d\s*/\s*[+-].*", rest) else rest
    while position < len(body) and (found := _DEVIATION.match(body, position)):
        size = round(_value(found["number"], text, what) * factor)
        both = both or found["sign"] in ("±", "+/-", "+-")
        values.append(-size if found["sign"] == "-" else size)
        position = found.end()
        trailing = _UNIT_AFTER.match(body, position)
        if trailing and _UNIT_WORDS.get(trailing["unit"], (None, 0))[1] == factor:
            position = trailing.end()
    if position != len(body) or len(values) != (1 if both else 2):
        raise InputError(
            what,
            "after the size write both deviations in its unit, for example 1 in +0.001 -0.000",
            read=text,
        )
    if both:
        return -values[0], values[0]
    return min(values), max(values)


def _not_a_length(text: str, plain: str, what: str) -> InputError:
    if not plain:
        return InputError(what, f"nothing was given; {_RIGHT}")
    if plain.startswith("-"):
        return InputError(what, "it must be above zero", read=text)
    if _BARE.fullmatch(plain):
        return InputError(what, _RIGHT, read=text, fault="without a unit")
    return InputError(what, _RIGHT, read=text)


def _decimal(numerator: int, denominator: int, places: int) -> str:
    return decimal(round(Fraction(numerator * 10**places, denominator)), places)


def decimal(scaled: int, places: int) -> str:
    """``scaled`` / 10**places with as many decimals."""
    sign = "-" if scaled < 0 else ""
    whole, part = divmod(abs(scaled), 10**places)
    return f"{sign}{whole}.{part:0{places}d}"


def _trimmed(scaled: int, places: int) -> str:
    """``scaled`` / 10**places without trailing zeros."""
    sign = "-" if scaled < 0 else ""
    whole, part = divmod(abs(scaled), 10**places)
    decimals = f"{part:0{places}d}".rstrip("0")
    return f"{sign}{whole}.{decimals}" if decimals else f"{sign}{whole}"


def _mixed(value: Fraction) -> str:
    sign = "-" if value < 0 else ""
    whole, part = divmod(abs(value), 1)
    if not part:
        return f"{sign}{whole}"
    return f"{sign}{whole}-{part}" if whole else f"{sign}{part}"
