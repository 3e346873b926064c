"""A strength advisory in words, for the joint's screen; that it is no release stands first."""

from __future__ import annotations

from math import floor

from rich.text import Text

from broachplan.keyways.strength import ADVICE, SOURCE, LoadBy, Strength
from broachplan.lengths import Units
from broachplan.quantities import show_force, show_power, show_pressure, show_torque
from tui.sheet import Sheet


def advice() -> Text:
    """What stands before every figure and every refusal."""
    return Text().append(f"{ADVICE}\n", "reverse")


def strength_text(strength: Strength, units: Units) -> Text:
    """The advisory: its words, the answer, the parts, what is taken for granted."""
    sheet = Sheet(units, advice())
    sheet.head(_answer(strength, sheet))
    sheet.row("weakest", strength.weakest.part)
    _load(sheet, strength)
    for remark in strength.remarks:
        sheet.say(f"- {remark}")
    for check in strength.checks:
        sheet.head(check.part.upper())
        sheet.row("bears", f"{show_pressure(check.strength.mpa, units)}, {check.basis}")
        if check.stress is not None:
            sheet.row("stress", show_pressure(check.stress, units))
        if check.factor is not None:
            sheet.row("factor", _factor(check.factor))
        if check.needed is not None:
            sheet.row("needs", f"{sheet.size(check.needed)} of length")
    sheet.head("TAKEN FOR GRANTED")
    for said in strength.assumptions:
        sheet.say(f"- {said}")
    sheet.head("SOURCE")
    sheet.say(f" {SOURCE}; formulas from memory")
    return sheet.done()


def _answer(strength: Strength, sheet: Sheet) -> str:
    if strength.needed is not None:
        needed = f"LENGTH NEEDED: {sheet.size(strength.needed)}"
        if strength.enough is False and strength.length:
            return f"{needed}; {sheet.size(strength.length)} is TOO SHORT"
        return needed
    if strength.factor is not None:
        return f"FACTOR REACHED: {_factor(strength.factor)}, none chosen"
    return f"CARRIES: {show_torque(strength.carries or 0, sheet.units)}"


def _load(sheet: Sheet, strength: Strength) -> None:
    units = sheet.units
    if strength.safety is not None:
        sheet.row("safety", f"{_number(float(strength.safety))}, chosen by you")
    if strength.torque is not None and strength.force is not None:
        sheet.row("torque", show_torque(strength.torque, units))
        if strength.load_by is LoadBy.POWER and strength.power and strength.rpm:
            sheet.row(
                "from",
                f"{show_power(strength.power, units)} at {_number(float(strength.rpm))} rev/min",
            )
        elif strength.load_by is LoadBy.SHAFT:
            sheet.row("from", "what the shaft itself carries")
        sheet.row("force", f"{show_force(strength.force, units)} at shaft's surface")
    if strength.length is not None:
        sheet.row("length", sheet.size(strength.length))
        if strength.factor is not None:
            sheet.row("factor", f"{_factor(strength.factor)} reached")
        if strength.carries is not None:
            sheet.row("carries", show_torque(strength.carries, units))


def _factor(value: float) -> str:
    """Rounded down: a factor just under the one chosen must not look like it."""
    return _number(floor(value * 100) / 100)


def _number(value: float) -> str:
    return f"{value:,.2f}".rstrip("0").rstrip(".")
