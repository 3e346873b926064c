"""Standards, shapes and fits by name, with what every face has to know of them. Light: forms show them before a table is read.

A new standard is a member here, a module of figures in `broachplan.keyways`, its table beside this file, and its line in
`broachplan.keyways.parallel`.
"""

from __future__ import annotations

from enum import StrEnum


class Shape(StrEnum):
    """The shape of a key."""

    SQUARE = "square"
    RECTANGULAR = "rectangular"
    TAPER = "taper"
    WOODRUFF = "woodruff"


class Fit(StrEnum):
    """The fit of the key in its keyway; ``words`` is how it is spoken."""

    CLASS_1 = "1"
    CLASS_2 = "2"
    CLOSE = "close"
    NORMAL = "normal"
    FREE = "free"

    @property
    def words(self) -> str:
        """``class 1`` or ``normal fit``."""
        return f"class {self}" if self.isdigit() else f"{self} fit"


class Standard(StrEnum):
    """Where a keyway's figures come from.

    ``label`` is its word in a form; empty where nobody can ask for it. ``inches`` gives its unit, ``fits`` the fits that
    its parallel keys have, ``woodruff`` whether its keys are half-moons, ``numbered`` whether they have numbers.
    """

    label: str
    inches: bool
    fits: tuple[Fit, ...]
    woodruff: bool
    numbered: bool

    def __new__(
        cls,
        name: str,
        label: str = "",
        inches: bool = False,
        fits: tuple[Fit, ...] = (),
        woodruff: bool = False,
        numbered: bool = False,
    ) -> Standard:
        """A member with what is known of it."""
        made = str.__new__(cls, name)
        made._value_ = name
        made.label, made.inches, made.fits = label, inches, fits
        made.woodruff, made.numbered = woodruff, numbered
        return made

    INCH = "inch", "inch, ASME B17.1", True, (Fit.CLASS_1, Fit.CLASS_2)
    METRIC = "metric", "metric, ISO 773", False, (Fit.CLOSE, Fit.NORMAL, Fit.FREE)
    WOODRUFF = "woodruff", "Woodruff inch", True, (), True, True
    WOODRUFF_METRIC = "woodruff-metric", "Woodruff metric", False, (), True
    OWN = "own"


OFFERED = tuple(each for each in Standard if each.label)
PARALLEL = tuple(each for each in OFFERED if not each.woodruff)
OFFERED_SHAPES = (Shape.SQUARE, Shape.RECTANGULAR, Shape.TAPER)


def one_of(words: tuple[StrEnum, ...]) -> str:
    """The words as a choice: ``inch or metric``."""
    *first, last = (word.value for word in words)
    return f"{', '.join(first)} or {last}" if first else last
