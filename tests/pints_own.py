"""Pint with all the units that it knows itself, exact. Reading them takes half a second, so it is done once."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import Any


@cache
def pint_quantity() -> Any:
    """What makes a quantity of a number and the name of a unit."""
    from pint import UnitRegistry

    return UnitRegistry(non_int_type=Fraction).Quantity
