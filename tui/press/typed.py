"""What is typed at the press on a sealed numeric pad: digits, a point and the keys - + / * and Enter."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum

from broachplan.errors import InputError
from broachplan.lengths import Length, System, parse_length


class PadKey(StrEnum):
    """A key that opens something. It changes nothing until a digit and Enter follow."""

    BACK = "-"
    MORE = "+"
    HOW_TO = "/"
    TROUBLE = "*"


@dataclass(frozen=True, slots=True)
class Nothing:
    """An empty line, or a key without its digit: Enter does nothing."""


@dataclass(frozen=True, slots=True)
class Number:
    """A short number: a pass, or a line of what is asked."""

    value: int


@dataclass(frozen=True, slots=True)
class TypedReading:
    """A reading as typed, with the unit it is read in; of two ends the top one first."""

    texts: tuple[str, ...]
    lengths: tuple[Length, ...]


@dataclass(frozen=True, slots=True)
class PadChoice:
    """A line of what a key opens."""

    key: PadKey
    digit: int


@dataclass(frozen=True, slots=True)
class Unread:
    """What cannot be meant, with the reason."""

    why: str


Typed = Nothing | Number | TypedReading | PadChoice | Unread

_KEYS = {key.value: key for key in PadKey}
_SHORT = re.compile(r"\d{1,3}", re.ASCII)
_LONG = re.compile(r"\d{4,}", re.ASCII)
_BARE = re.compile(r"\d*[.,]?\d+|\d+[.,]", re.ASCII)
_MOST_ENDS = 2


def opened(line: str) -> PadKey | None:
    """What the line opens while it is typed: shown at once, done only with its digit and Enter."""
    return _KEYS.get(line.strip()[:1])


def read_typed(line: str, system: System) -> Typed:
    """What Enter means at the end of this line.

    ``system`` is the hub's: digits without a unit are read in its unit, and a comma is the decimal mark, since some
    pads have no point. Two ends are typed with ``/`` between them, the top first.
    """
    text = line.strip()
    key = opened(text)
    if key is not None:
        digit = text[1:].strip()
        if not digit:
            return Nothing()
        if _SHORT.fullmatch(digit):
            return PadChoice(key, int(digit))
        return Unread(f"read {text}; after {key.value} type one digit of the list")
    if not text:
        return Nothing()
    if _SHORT.fullmatch(text):
        return Number(int(text))
    return _gauged(text, system)


def _gauged(text: str, system: System) -> TypedReading | Unread:
    unit = "mm" if system is System.METRIC else "in"
    ends = [end.strip() for end in text.split("/")]
    if len(ends) > _MOST_ENDS:
        return Unread(f"read {text}; of two ends type the top, / and the bottom")
    if any(_LONG.fullmatch(end) for end in ends):
        return Unread(f"read {text} without a point: type a reading as the gauge shows it, in {unit}")
    texts = tuple(_pointed(end, unit) for end in ends)
    try:
        return TypedReading(texts, tuple(parse_length(each, "reading") for each in texts))
    except InputError as error:
        return Unread(str(error))


def _pointed(text: str, unit: str) -> str:
    """The reading with a point and a unit."""
    if not _BARE.fullmatch(text):
        return text
    whole, _, part = text.replace(",", ".").partition(".")
    return f"{whole or '0'}{'.' if part else ''}{part} {unit}"
