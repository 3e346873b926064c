"""Lengths on a sheet: sizes, readings with their limits, moves on a dial."""

from __future__ import annotations

from broachplan.lengths import NM_PER_INCH, NM_PER_MM, Length, Limits, Units, show
from broachplan.sheets.result import NamedValue
from broachplan.shown import limits_in_words, nominal_in_words


def gauge_units(units: Units) -> Units:
    """The units a gauge reads in: never a fraction."""
    return Units.MM if units is Units.MM else Units.INCH


def other_units(units: Units) -> Units:
    """The units shown beside them."""
    return Units.INCH if units is Units.MM else Units.MM


def size(label: str, short: str, length: Length, units: Units) -> NamedValue:
    """A size, in the other units too."""
    return NamedValue(label, show(length, units), short, show(length, other_units(units)))


def reading(label: str, short: str, limits: Limits, units: Units) -> NamedValue:
    """A nominal size, in the other units too, and its limits."""
    lower, upper = limits.lower, limits.upper
    within = "" if lower == upper == limits.nominal else limits_in_words(limits, units)
    beside = nominal_in_words(limits, other_units(units))
    return NamedValue(label, nominal_in_words(limits, units), short, beside, within)


def within(label: str, short: str, limits: Limits, units: Units) -> NamedValue:
    """Both limits."""
    return NamedValue(label, limits_in_words(limits, units), short)


def move(label: str, short: str, length: Length, units: Units) -> NamedValue:
    """A move on a dial: with the places it has where it does not come out in tenths of a thou or in micrometres."""
    step, whole, places = (1000, NM_PER_MM, 6) if units is Units.MM else (2540, NM_PER_INCH, 7)
    if not length.nm % step:
        return NamedValue(label, show(length, units), short)
    unit = "mm" if units is Units.MM else "in"
    return NamedValue(label, f"{length.nm / whole:.{places}f}".rstrip("0") + f" {unit}", short)


def number(length: Length, units: Units) -> str:
    """A size without its unit, for a column."""
    return show(length, units).rpartition(" ")[0]


def unit_word(units: Units) -> str:
    """``in`` or ``mm``."""
    return "mm" if units is Units.MM else "in"
