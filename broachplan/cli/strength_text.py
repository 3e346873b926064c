"""A strength advisory for people: the length and the weakest part first, then the parts, in 80 columns."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor

from broachplan.cli.layout import wrap
from broachplan.keyways.key import size_name
from broachplan.keyways.strength import ADVICE, SOURCE, Check, LoadBy, Strength
from broachplan.lengths import Units, show
from broachplan.quantities import show_force, show_power, show_pressure, show_torque

_INDENT = "  "
_NAME = 26


def in_words(strength: Strength, in_inches: bool) -> list[str]:
    """The advisory, line by line, in the shaft's units with the others beside the main figures."""
    units, other = (Units.INCH, Units.MM) if in_inches else (Units.MM, Units.INCH)
    return [
        *wrap(_headline(strength, units, other), rest=_INDENT),
        *wrap(ADVICE, rest=_INDENT),
        "",
        *_load(strength, units, other),
        *_length(strength, units),
        "",
        *_parts(strength.checks, units),
        "",
        "Taken for granted",
        *(line for said in strength.assumptions for line in wrap(said, first="  - ", rest="    ")),
        "",
        *wrap(f"Source: {SOURCE}; formulas from memory", rest=_INDENT),
        *(line for remark in strength.remarks for line in wrap(f"Note: {remark}", rest=_INDENT)),
    ]


def _headline(strength: Strength, units: Units, other: Units) -> str:
    weakest = f"weakest: {strength.weakest.part}."
    if strength.needed is not None:
        needed = f"LENGTH NEEDED: {show(strength.needed, units)} ({show(strength.needed, other)})"
        if strength.enough is False and strength.length:
            return f"{needed}; {show(strength.length, units)} is TOO SHORT; {weakest}"
        return f"{needed}; {weakest}"
    if strength.factor is not None:
        return f"FACTOR REACHED: {_factor(strength.factor)}, no safety factor chosen; {weakest}"
    return f"CARRIES: {_torque(strength.carries or 0, units, other)}; {weakest}"


def _load(strength: Strength, units: Units, other: Units) -> Iterator[str]:
    yield _row("shaft and key", f"{size_name(strength.shaft)}, key {strength.key.name}")
    if strength.safety is not None:
        yield _row("safety factor", f"{_number(float(strength.safety))}, chosen by you")
    if strength.torque is None or strength.force is None:
        return
    yield _row("torque", _torque(strength.torque, units, other))
    if strength.load_by is LoadBy.POWER and strength.power and strength.rpm:
        yield _row("from", f"{show_power(strength.power, units)} at {_number(float(strength.rpm))} rev/min")
    elif strength.load_by is LoadBy.SHAFT:
        yield _row("from", "what the shaft itself carries at this safety")
    yield _row("force at shaft's surface", show_force(strength.force, units))


def _length(strength: Strength, units: Units) -> Iterator[str]:
    if strength.length is None:
        return
    yield _row("length", show(strength.length, units))
    if strength.factor is not None:
        yield _row("factor it reaches", _factor(strength.factor))
    if strength.carries is not None:
        yield _row("carries at your safety", show_torque(strength.carries, units))


def _parts(checks: tuple[Check, ...], units: Units) -> Iterator[str]:
    yield f"{_INDENT}{'part':18}{'strength':>14}{'stress':>14}{'factor':>9}{'length needed':>17}"
    for check in checks:
        stress = "" if check.stress is None else show_pressure(check.stress, units)
        factor = "" if check.factor is None else _factor(check.factor)
        needed = "" if check.needed is None else show(check.needed, units)
        strong = show_pressure(check.strength.mpa, units)
        yield f"{_INDENT}{check.part:18}{strong:>14}{stress:>14}{factor:>9}{needed:>17}".rstrip()


def _torque(newton_metres: float, units: Units, other: Units) -> str:
    return f"{show_torque(newton_metres, units)} ({show_torque(newton_metres, other)})"


def _factor(value: float) -> str:
    """Rounded down: a factor just under the one chosen must not look like it."""
    return _number(floor(value * 100) / 100)


def _number(value: float) -> str:
    return f"{value:,.2f}".rstrip("0").rstrip(".")


def _row(name: str, value: str) -> str:
    return f"{_INDENT}{name:{_NAME}}{value}"
