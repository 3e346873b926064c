"""A strength advisory in words: that it is no release, the answer and its load, the parts, what is taken for granted."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor

from broachplan.keyways.key import size_name
from broachplan.keyways.strength import ADVICE, SOURCE, Check, LoadBy, Strength
from broachplan.lengths import Length, Units, show
from broachplan.quantities import show_force, show_power, show_pressure, show_torque
from broachplan.sheets.result import Column, NamedValue, ResultSheet, Sentence, SheetBlock, SheetGrid
from broachplan.sheets.sizes import gauge_units, other_units
from broachplan.shown import AtLeast, show_apart

_PARTS = (
    Column("part"),
    Column("strength"),
    Column("from", drops=1),
    Column("stress"),
    Column("factor"),
    Column("needed"),
)


def strength_sheet(strength: Strength, units: Units) -> ResultSheet:
    """The advisory, with the other units beside its main figures."""
    used = gauge_units(units)
    title, short = _answer(strength, used)
    assumptions = tuple(Sentence(said, "- ") for said in strength.assumptions)
    return ResultSheet(
        title=f"{title}; weakest: {strength.weakest.part}.",
        short=short,
        caution=ADVICE,
        blocks=(
            SheetBlock("", tuple(_load(strength, used))),
            SheetBlock("", (SheetGrid(_PARTS, tuple(_part(check, used) for check in strength.checks)),)),
            SheetBlock("Taken for granted", assumptions),
        ),
        source=SOURCE,
        from_memory="formulas",
        remarks=strength.remarks,
    )


def _answer(strength: Strength, units: Units) -> tuple[str, str]:
    """The answer in full, and in short."""
    if strength.needed is not None:
        (beside,) = show_apart(other_units(units), AtLeast(strength.needed))
        if strength.enough is False and strength.length:
            needed, length = show_apart(units, AtLeast(strength.needed), strength.length)
            return (
                f"LENGTH NEEDED: {needed} ({beside}); {length} is TOO SHORT",
                f"TOO SHORT: {needed} is needed",
            )
        needed = _needed(strength.needed, units)
        return f"LENGTH NEEDED: {needed} ({beside})", f"LENGTH NEEDED: {needed}"
    if strength.factor is not None:
        reached = f"FACTOR REACHED: {_factor(strength.factor)}"
        return f"{reached}, no safety factor chosen", f"{reached}, none chosen"
    carries = strength.carries or 0
    return f"CARRIES: {_torque(carries, units)}", f"CARRIES: {show_torque(carries, units)}"


def _load(strength: Strength, units: Units) -> Iterator[NamedValue]:
    yield NamedValue("weakest part", strength.weakest.part, "weakest")
    yield NamedValue("shaft and key", f"{size_name(strength.shaft)}, key {strength.key.name}", "shaft")
    if strength.safety is not None:
        yield NamedValue("safety factor", f"{_number(float(strength.safety))}, chosen by you", "safety")
    if strength.torque is not None and strength.force is not None:
        beside = show_torque(strength.torque, other_units(units))
        yield NamedValue("torque", show_torque(strength.torque, units), other=beside)
        if strength.load_by is LoadBy.POWER and strength.power and strength.rpm:
            speed = f"{_number(float(strength.rpm))} rev/min"
            yield NamedValue("from", f"{show_power(strength.power, units)} at {speed}")
        elif strength.load_by is LoadBy.SHAFT:
            yield NamedValue("from", "what the shaft itself carries at this safety")
        yield NamedValue("force at shaft's surface", show_force(strength.force, units), "force")
    if strength.length is None:
        return
    yield NamedValue("length", show(strength.length, units))
    if strength.factor is not None:
        yield NamedValue("factor it reaches", _factor(strength.factor), "factor")
    if strength.carries is not None:
        yield NamedValue("carries at your safety", show_torque(strength.carries, units), "carries")


def _part(check: Check, units: Units) -> tuple[str, ...]:
    return (
        check.part,
        show_pressure(check.strength.mpa, units),
        check.basis,
        "" if check.stress is None else show_pressure(check.stress, units),
        "" if check.factor is None else _factor(check.factor),
        "" if check.needed is None else _needed(check.needed, units),
    )


def _needed(length: Length, units: Units) -> str:
    """Rounded up: a key made to the length as it is shown must be long enough."""
    return show_apart(units, AtLeast(length))[0]


def _torque(newton_metres: float, units: Units) -> str:
    return f"{show_torque(newton_metres, units)} ({show_torque(newton_metres, other_units(units))})"


def _factor(value: float) -> str:
    """Rounded down: a factor just under the one chosen must not look like it."""
    return _number(floor(value * 100) / 100)


def _number(value: float) -> str:
    return f"{value:,.2f}".rstrip("0").rstrip(".")
