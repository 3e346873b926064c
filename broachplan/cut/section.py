"""The bore and the keyway in cross-section: where metal begins and how much lies between two heights.

Heights run in the middle plane of the keyway from the wall opposite it. Floats here are millimetres and feed
areas and forces only; whether a height is past first metal is decided in whole numbers.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cached_property
from math import asin, isqrt, sqrt

from broachplan.keyways.keyway import half_root
from broachplan.lengths import NM_PER_MM, Length


class Section:
    """A bore at its lower limit with a keyway of the broach's own width.

    Raises `InputError` when the keyway is not narrower than the bore.
    """

    def __init__(self, bore_lower: Length, width: Length) -> None:
        self.bore_lower = bore_lower
        self.width = width
        self.first_metal_floor_nm, _ = half_root(bore_lower, width)
        self.bore_mm = bore_lower.in_mm
        self.width_mm = width.in_mm
        self._radius_mm = self.bore_mm / 2
        self._square = bore_lower.nm**2 - width.nm**2

    @cached_property
    def first_metal_mm(self) -> float:
        """z1: the height at which the keyway's corners meet the bore, D/2 + sqrt(D^2 - B^2)/2."""
        return float(self.first_metal / NM_PER_MM)

    @cached_property
    def first_metal(self) -> Fraction:
        """z1 in nm, to a millionth of a nanometre."""
        fine = 10**6
        return Fraction(self.bore_lower.nm * fine + isqrt(self._square * fine * fine), 2 * fine)

    def highest_within_a_rise(self, rise: Fraction) -> int:
        """The largest whole nm not above z1 + ``rise`` (a rise in nm, exact)."""
        over, under = rise.numerator, rise.denominator
        root = isqrt(under * under * self._square)
        return (2 * over + under * self.bore_lower.nm + root) // (2 * under)

    def teeth_short_of_metal(self, base_nm: int, rise: Fraction) -> int:
        """How many steps of ``rise`` above ``base_nm`` do not pass z1: the teeth 0, 1, ... still clear."""
        over, under = rise.numerator, rise.denominator
        root = isqrt(under * under * self._square)
        return max(0, (under * self.bore_lower.nm + root - 2 * under * base_nm) // (2 * over) + 1)

    def area_mm2(self, low_mm: float, high_mm: float) -> float:
        """Metal that a broach of the full width finds between two heights.

        Between z1 and the bore's far side the layer is two corner pieces; above it is as wide as the broach.
        """
        # A search asks this a million times: comparisons take a third of what min and max take.
        low = self.first_metal_mm if low_mm < self.first_metal_mm else low_mm
        if high_mm <= low:
            return 0.0
        full = self.width_mm * (high_mm - low)
        if low >= self.bore_mm:
            return full
        metal = full - (self._segment(high_mm) - self._segment(low))
        return metal if metal > 0.0 else 0.0

    def metal_width_mm(self, height_mm: float) -> float:
        """Width of metal at a height: the broach's width less the bore's chord there."""
        from_centre = min(height_mm - self._radius_mm, self._radius_mm)
        chord = 2 * sqrt(max(0.0, self._radius_mm**2 - from_centre**2))
        return max(0.0, self.width_mm - chord)

    def _segment(self, height_mm: float) -> float:
        """Antiderivative of the bore's chord, cut off at the far side."""
        radius = self._radius_mm
        square, z = radius * radius, height_mm - radius
        if z > radius:
            z = radius
        under = square - z * z
        return z * sqrt(under if under > 0.0 else 0.0) + square * asin(z / radius)
