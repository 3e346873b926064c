"""Keys and the words for them: sizes, shapes, standards and fits as people write them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple, TypeVar

from broachplan.errors import InputError, quoted
from broachplan.lengths import (
    LONGEST_LIMITS_TEXT,
    NM_PER_INCH,
    Length,
    System,
    Units,
    parse_length,
    show,
    write_exact,
)
from broachplan.standards.named import OFFERED, OFFERED_SHAPES, Fit, Shape, Standard, one_of

_BETWEEN = re.compile(r"\s*[x×]\s*", re.IGNORECASE)
_UNIT_AT_END = re.compile(r"[^\d\s./,⁄½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒-][^\d]*$")
_NUMBER = re.compile(r"(?:no\.?|number|#)?\s*(?P<number>\d{3,4}(?:\.5)?)", re.ASCII | re.IGNORECASE)
_LONGEST_NUMBER = 20
Word = TypeVar("Word", bound=StrEnum)


class NamedKey(NamedTuple):
    """The standard that someone speaks of and the key named by it; without a key, the table's is meant."""

    standard: Standard
    size: KeySize | None


class KeySize(NamedTuple):
    """A key as someone names it; without a height the standard's goes with the width.

    A Woodruff number is read as the width and height of its key: no two keys of the table share both.
    """

    width: Length
    height: Length | None


@dataclass(frozen=True, slots=True)
class Key:
    """A key's nominal cross-section; a Woodruff key has the diameter of its arc too, an inch one a number."""

    width: Length
    height: Length
    shape: Shape
    diameter: Length | None = None
    number: str | None = None

    @property
    def name(self) -> str:
        """The key in words: ``1/4 x 3/16 in``, ``8 x 7 mm``; Woodruff ``808 (1/4 x 1 in)``, ``5 x 7.5 x 19 mm``."""
        if self.diameter is None:
            return _by(self.width, self.height)
        if self.number is None:
            return _by(self.width, self.height, self.diameter)
        return f"{self.number} ({_by(self.width, self.diameter)})"


def size_name(length: Length) -> str:
    """A nominal size the way it is spoken: a fraction of an inch where it is one, else the shortest decimal."""
    if length.nm % (NM_PER_INCH // 64) == 0:
        return show(length, Units.FRACTION)
    return write_exact(length)


def _by(*sizes: Length) -> str:
    """Sizes with ``x`` between them and, where it is one, their unit once."""
    names = [size_name(size) for size in sizes]
    if len({name.split(" ")[-1] for name in names}) == 1:
        names[:-1] = [name.split(" ")[0] for name in names[:-1]]
    return " x ".join(names)


def read_number(text: str) -> KeySize:
    """Read the number of an inch Woodruff key: ``808``, ``No. 202.5``.

    Raises
    ------
    InputError : not a number of the table; the message names those in it, and that the table leaves numbers out.
    """
    found = _NUMBER.fullmatch(text.strip()) if len(text) <= LONGEST_LIMITS_TEXT else None
    from broachplan.standards.woodruff import inch_woodruff, inch_woodruffs

    row = inch_woodruff(found["number"]) if found else None
    if row is None:
        numbers = ", ".join(key.number for key in inch_woodruffs())
        why = (
            "the table here leaves that number out, and a size needs its unit (1/4 in)"
            if found
            else "write a number such as 808"
        )
        raise InputError("key number", f"{why}; the table has {numbers}", read=text)
    return KeySize(row.width, row.height.nominal)


def read_key(text: str, standard: Standard = Standard.INCH) -> KeySize:
    """Read a key's width, or width x height: ``1/4 in``, ``1/4 in x 3/16 in``, ``14 x 9 mm``.

    A width without a unit has the height's. An inch Woodruff key may be named by its number.

    Raises
    ------
    InputError : not one or two lengths; the message says what was read and what would be right.
    """
    if standard is Standard.WOODRUFF and _NUMBER.fullmatch(text.strip()[:LONGEST_LIMITS_TEXT]):
        return read_number(text)
    if len(text) > LONGEST_LIMITS_TEXT:
        raise InputError("key", "write a width, or width x height, for example 1/4 in", read=text)
    parts = [part.strip() for part in _BETWEEN.split(text)]
    if len(parts) > 2:
        raise InputError("key", "write a width, or width x height, for example 14 x 9 mm", read=text)
    width = parts[0]
    if len(parts) == 1:
        return KeySize(parse_length(width, "key width"), None)
    unit = _UNIT_AT_END.search(parts[1])
    if unit and not _UNIT_AT_END.search(width):
        width = f"{width} {unit.group()}"
    return KeySize(parse_length(width, "key width"), parse_length(parts[1], "key height"))


def read_named_key(
    text: str, standard: str = "", system: System = System.INCH, *, number: str = ""
) -> NamedKey:
    """The standard and the key that are named: by a size, or by the number of an inch Woodruff key.

    Parameters
    ----------
    text : a width, width x height, or a number alone, which speaks of the inch Woodruff standard; empty: no key named.
    standard : its name as typed; empty: it follows ``system``, the unit of the shaft or bore.
    number : another place where a number may be typed; it and ``text`` together are refused.

    Raises
    ------
    InputError : an unknown standard, a number where the standard has none, or a key that cannot be read.
    """
    if text and number:
        raise InputError("key", "give one of them", read=text, fault=f"and the number {quoted(number)}")
    named = read_standard(standard) if standard else None
    if number or _is_number(text):
        if named and not named.numbered:
            raise InputError(
                "key number", f"only inch Woodruff keys have numbers, not {named} ones", read=number or text
            )
        return NamedKey(Standard.WOODRUFF, read_number(number or text))
    used = named or standard_of(system)
    return NamedKey(used, read_key(text, used) if text else None)


def _is_number(text: str) -> bool:
    """Whether a text is a key's number and no size: three or four digits without a unit."""
    return len(text) <= _LONGEST_NUMBER and _NUMBER.fullmatch(text.strip()) is not None


def read_standard(text: str) -> Standard:
    """Read the name of a standard: ``inch``, ``metric``, ``woodruff`` or ``woodruff-metric``."""
    return _word(text, "standard", OFFERED)


def standard_of(system: System) -> Standard:
    """The standard that goes with the unit of a shaft or bore when none is named."""
    return Standard.INCH if system is System.INCH else Standard.METRIC


def read_shape(text: str) -> Shape:
    """Read the shape of a key: ``square``, ``rectangular`` or ``taper``."""
    return _word(text, "shape", OFFERED_SHAPES)


def read_fit(text: str) -> Fit:
    """Read a fit: ``1`` or ``2`` of the inch standard, ``close``, ``normal`` or ``free`` of the metric one."""
    return _word(text, "fit", tuple(Fit))


def _word(text: str, what: str, offered: tuple[Word, ...]) -> Word:
    wanted = text.strip().lower()
    for word in offered:
        if word.value == wanted:
            return word
    raise InputError(what, f"write {one_of(offered)}", read=text)
