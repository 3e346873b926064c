"""The keyway of a hub as the planner takes it: width, reading and where each figure comes from."""

from __future__ import annotations

from dataclasses import dataclass
from math import isqrt

from broachplan.errors import InputError
from broachplan.lengths import Length, Limits, Units, show, write_exact
from broachplan.shown import limits_in_words
from broachplan.standards.named import Shape, Standard


@dataclass(frozen=True, slots=True, kw_only=True)
class Keyway:
    """A hub keyway.

    ``width`` and ``reading`` carry limits; ``reading`` is the keyway floor to the opposite wall of the bore, in the
    middle plane. ``source`` names the published figure, ``status`` is ``read``, ``memory`` or ``given``; ``remarks``
    are for the user's eyes; ``off_table`` says why the key is not the table's, or why it nearly is another.
    """

    standard: Standard
    shape: Shape | None
    width: Limits
    reading: Limits
    aim: Length
    arc: Length
    depth_at_wall: Length
    source: str
    status: str
    remarks: tuple[str, ...] = ()
    off_table: str | None = None

    def __post_init__(self) -> None:
        if self.aim not in self.reading:
            raise InputError(
                f"aim {show(self.aim, Units.INCH)} ({show(self.aim, Units.MM)})",
                f"it must lie within the reading's limits, {limits_in_words(self.reading, Units.INCH)} ({limits_in_words(self.reading, Units.MM)})",
            )


def half_root(diameter: Length, width: Length) -> tuple[int, int]:
    """(D + sqrt(D^2 - W^2)) / 2 as the pair (floor in nm, nearest in nm), exact.

    It is D less the arc: the distance from the far wall to the line where a keyway's sides meet the bore.
    """
    square = chord_square(diameter, width)
    return (diameter.nm + isqrt(square)) // 2, nearest_half(diameter.nm, square)


def chord_square(diameter: Length, width: Length) -> int:
    """D^2 - W^2 in nm^2.

    Raises
    ------
    InputError : the keyway is not narrower than the bore or shaft.
    """
    square = diameter.nm**2 - width.nm**2
    if square <= 0:
        raise InputError(
            f"keyway width {write_exact(width)}",
            f"it must be less than the bore or shaft, {write_exact(diameter)}",
        )
    return square


def nearest_half(whole: int, square: int) -> int:
    """(whole + sqrt(square)) / 2 to the nearest integer, half-even, exact for integers of any size and sign."""
    floor = (whole + isqrt(square)) // 2
    # Compare the sum with 2 floor + 1 in exact integers; a tie needs a whole root.
    odd = 2 * floor + 1 - whole
    if odd < 0 or odd * odd < square:
        return floor + 1
    if odd * odd == square:
        return floor + (floor & 1)
    return floor


def arc_height(diameter: Length, width: Length) -> Length:
    """Height of the arc over a chord ``width`` wide: y = (D - sqrt(D^2 - W^2)) / 2, rounded half-even to 1 nm.

    Source: ASME B17.1, height of arc; plain geometry of the circle.
    """
    return Length(-nearest_half(-diameter.nm, chord_square(diameter, width)))
