"""Sizes of the pages that sheets are printed on, by the names that people give them."""

from __future__ import annotations

from broachplan.errors import InputError
from broachplan.lengths import NM_PER_INCH, Length

POINTS_PER_INCH = 72
# ISO 216 and ANSI/ASME Y14.1 (size A, from memory).
PAGES = {
    "A4": (Length.mm(210), Length.mm(297)),
    "Letter": (Length.inches("17/2"), Length.inches(11)),
}


def points(length: Length) -> float:
    """A length in points of 1/72 in, as a page is measured."""
    return length.nm * POINTS_PER_INCH / NM_PER_INCH


def page_size(name: str) -> tuple[float, float]:
    """Width and height of a page in points, by its name in any letters.

    Raises
    ------
    InputError : there is no such page.
    """
    for known, (width, height) in PAGES.items():
        if name.strip().lower() == known.lower():
            return points(width), points(height)
    raise InputError("page", f"there are: {', '.join(each.lower() for each in PAGES)}", read=name)
