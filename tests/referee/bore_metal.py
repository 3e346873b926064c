"""Where metal begins in a round bore and how much of it there is, written apart from the planner; exact where it decides."""

from __future__ import annotations

from fractions import Fraction
from math import asin, sqrt

Number = int | Fraction


def at_or_below_first_metal(height: Number, bore: int, width: int) -> bool:
    """Whether ``height`` <= D/2 + sqrt(D^2 - B^2)/2, compared as squares and so exactly."""
    over = 2 * height - bore
    return over <= 0 or over * over <= bore**2 - width**2


def metal_area(low: float, high: float, bore: float, width: float) -> float:
    """Metal over the bore between two heights from the far wall, ``width`` wide; mm and mm2, 0 where there is none."""
    rho = bore / 2

    def half_disc(over_centre: float) -> float:
        z = min(over_centre, rho)
        return z * sqrt(max(rho**2 - z**2, 0.0)) + rho**2 * asin(min(z / rho, 1.0))

    top, bottom = high - rho, low - rho
    return max(width * (top - bottom) - (half_disc(top) - half_disc(bottom)), 0.0)
