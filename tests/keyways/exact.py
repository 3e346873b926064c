"""The circle's geometry a second time, in decimals of fifty digits."""

from __future__ import annotations

from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, Context, Decimal

FIFTY = Context(prec=50)


def root(square: int) -> Decimal:
    """The square root to fifty digits."""
    return FIFTY.sqrt(Decimal(square))


def half_even(value: Decimal) -> int:
    """The nearest whole number, ties to the even one."""
    return int(value.quantize(Decimal(1), rounding=ROUND_HALF_EVEN, context=FIFTY))


def floor(value: Decimal) -> int:
    """The whole number at or below."""
    return int(value.quantize(Decimal(1), rounding=ROUND_FLOOR, context=FIFTY))


def d_less_y(diameter: int, width: int) -> Decimal:
    """D - y with y = (D - sqrt(D^2 - W^2)) / 2, in nm."""
    return FIFTY.divide(FIFTY.add(Decimal(diameter), root(diameter**2 - width**2)), Decimal(2))
