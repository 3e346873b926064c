"""Small texts that a question may hold: amounts, a user's own limits, what a reading was taken over."""

from __future__ import annotations

import re
from fractions import Fraction

from broachplan.errors import InputError, quoted
from broachplan.keyways.milling_card import Deviations, Over
from broachplan.lengths import Limits, System, read_limits
from broachplan.standards.named import one_of

_WIDE = {System.INCH: "100 in", System.METRIC: "1000 mm"}
_LONGEST_DEVIATIONS = 40
_NUMBER = re.compile(r"\d{1,16}(?:\.\d{1,6})?", re.ASCII)
_MOST_SAFETY, _MOST_RPM = 1000, 1_000_000
_A_MINUTE = re.compile(r" *(?:rpm|rev/min|1/min)$")


def read_plans(text: str) -> int | None:
    """How many plans are worked out in full: a whole number from 1, or ``all`` (None)."""
    plain = text.strip()
    if plain.lower() == "all":
        return None
    if not (plain.isascii() and plain.isdigit() and len(plain) < 7 and int(plain)):
        raise InputError("plans", "write how many, from 1, or all", read=text)
    return int(plain)


def read_revolutions(text: str) -> Fraction:
    """Revolutions a minute; `InputError` where it is no number above zero, or too large."""
    right = f"a number above 0, at most {_MOST_RPM:,}, for example 1450"
    value = _number(_A_MINUTE.sub("", text[:40].strip(" ").lower()))
    if value is None or not 0 < value <= _MOST_RPM:
        raise InputError("rpm", f"write {right}", read=text)
    return value


def read_safety(text: str) -> Fraction:
    """A safety factor; `InputError` where it is no number from 1 up, or too large."""
    value = _number(text[:40].strip(" "))
    if value is None or not 1 <= value <= _MOST_SAFETY:
        raise InputError("safety", f"write a number from 1 to {_MOST_SAFETY:,}, for example 2", read=text)
    return value


def read_deviations(text: str, system: System) -> Deviations:
    """Read the user's own limits of the reading: ``+0.000 -0.010 in``; without a unit, inches or mm by ``system``.

    Raises
    ------
    InputError : not two deviations in one unit.
    """
    for size in (_WIDE[system], *_WIDE.values(), "100000 thou"):
        if len(text) <= _LONGEST_DEVIATIONS and (limits := _limits_round(size, text)):
            return Deviations(limits.lower - limits.nominal, limits.upper - limits.nominal)
    raise InputError(
        "depth limits",
        "write both deviations of the floor's reading, for example +0.000 -0.010 in: minus is deeper",
        read=text,
    )


def read_over(text: str) -> Over:
    """What a reading was taken over: ``key`` or ``floor``; `InputError` where it is neither."""
    wanted = text.strip().lower()
    if wanted not in tuple(Over):
        said = f"read {quoted(text)}" if text else "nothing was given"
        raise InputError("measured over", f"{said}; write {one_of(tuple(Over))}")
    return Over(wanted)


def _limits_round(size: str, deviations: str) -> Limits | None:
    try:
        limits, _, toleranced = read_limits(f"{size} {deviations}")
    except InputError:
        return None
    return limits if toleranced else None


def _number(text: str) -> Fraction | None:
    """A plain number with at most six decimals; None where it is none."""
    return Fraction(text) if _NUMBER.fullmatch(text) else None
