"""What the screen at the press shows at one moment, as words and figures; the screen only draws it."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.lengths import Length, Limits, Units


@dataclass(frozen=True, slots=True)
class Large:
    """A heading over a figure, or a short word, in large letters."""

    heading: str = ""
    figure: str = ""
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Bar:
    """The limits with the readings on them."""

    limits: Limits
    readings: tuple[Length, ...]
    units: Units


@dataclass(frozen=True, slots=True, kw_only=True)
class Sight:
    """One moment at the press, from top to bottom.

    ``work`` and ``place`` are the two halves of the title, of which the right one is never cut; ``said`` what the last
    reading or act means; ``lines`` what to do; ``prompt`` is before the line that is typed, ``unit`` behind it and
    ``below`` under it.
    """

    work: str
    place: str = ""
    said: tuple[str, ...] = ()
    left: Large | None = None
    right: Large | None = None
    bar: Bar | None = None
    lines: tuple[str, ...] = ()
    prompt: str = ""
    unit: str = ""
    below: str = ""
