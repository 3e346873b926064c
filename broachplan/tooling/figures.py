"""One table of figures per kind of piece: CSV columns, forms, lists and JSON derive from it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Kind(StrEnum):
    """The kinds of piece a crib holds."""

    BROACH = "broach"
    BUSHING = "bushing"
    SHIM = "shim"
    PRESS = "press"
    PIN = "pin"
    RING = "ring"

    @property
    def plural(self) -> str:
        """The kind in the plural, as files and headings name it."""
        return {"broach": "broaches", "bushing": "bushings", "press": "presses"}.get(
            self.value, f"{self.value}s"
        )


class Quantity(StrEnum):
    """What a figure measures, and so how it is typed, stored and shown."""

    LENGTH = "length"
    AREA = "area"
    FORCE = "force"
    COUNT = "count"


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of a piece, and ``how`` it is measured.

    No plan can do without a ``needed`` one: a piece that lacks it stays in the crib, out of plans. Without any other
    the rules that use it are not applied, and the plan says so.
    """

    name: str
    quantity: Quantity
    needed: bool
    label: str
    how: str = ""
    least: int = 1


def _length(name: str, label: str, how: str, *, needed: bool = False) -> Figure:
    return Figure(name, Quantity.LENGTH, needed, label, how)


FIGURES: dict[Kind, tuple[Figure, ...]] = {
    Kind.BROACH: (
        _length("keyway_width", "keyway width", "micrometer across a tooth, side to side", needed=True),
        _length("body_width", "body width", "micrometer across the body, below the teeth"),
        _length(
            "first_tooth_height",
            "height over first tooth",
            "micrometer or height gauge, from the back to the edge of the first tooth",
            needed=True,
        ),
        _length(
            "last_tooth_height",
            "height over last tooth",
            "micrometer or height gauge, from the back to the edge of the last tooth",
            needed=True,
        ),
        _length("tooth_pitch", "tooth pitch", "caliper over ten pitches, edge to edge, divided by ten"),
        Figure(
            "rising_teeth",
            Quantity.COUNT,
            False,
            "rising teeth",
            "count the teeth from the first to the first one of full height, both included",
            least=2,
        ),
        Figure(
            "finishing_teeth",
            Quantity.COUNT,
            False,
            "finishing teeth",
            "count the teeth of full height after the first of them",
            least=0,
        ),
        _length("root_height", "root height", "caliper, from the back to the bottom of the lowest gullet"),
        _length("front_length", "pilot length", "rule, from the leading end to the edge of the first tooth"),
        _length("overall_length", "overall length", "rule, end to end"),
        Figure(
            "gullet_area",
            Quantity.AREA,
            False,
            "gullet area",
            "trace one gullet on squared paper, up to the edges of its two teeth",
        ),
    ),
    Kind.BUSHING: (
        _length("outside_diameter", "outside diameter", "micrometer over the ground body", needed=True),
        _length("slot_width", "slot width", "gauge blocks or a bore gauge in the slot", needed=True),
        _length("web", "web", "micrometer with a ball anvil, from the back to the slot floor", needed=True),
        _length("length", "length", "caliper, under the collar to the far end"),
        _length("collar_height", "collar height", "caliper over the collar"),
    ),
    Kind.SHIM: (
        _length("thickness", "thickness", "micrometer, in three places", needed=True),
        _length("width", "width", "micrometer or caliper", needed=True),
        _length("length", "length", "caliper or rule"),
    ),
    Kind.PRESS: (
        Figure("rated_force", Quantity.FORCE, False, "rated force", "from its plate or its papers"),
        _length("opening", "opening", "rule, from the table to the ram at its highest"),
        _length("throat", "throat", "rule, from the middle of the ram to the frame"),
        _length("stroke", "stroke", "rule, the way of the ram from highest to lowest"),
    ),
    Kind.PIN: (
        _length("diameter", "diameter", "micrometer"),
        _length("length", "length", "caliper or rule"),
    ),
    Kind.RING: (
        _length("wall", "wall", "micrometer with a ball anvil"),
        _length("length", "length", "caliper or rule"),
    ),
}


def needed_figures(kind: Kind) -> tuple[str, ...]:
    """The names of the figures that no plan can do without."""
    return tuple(figure.name for figure in FIGURES[kind] if figure.needed)


def figure_named(kind: Kind, name: str) -> Figure:
    """One figure of a kind by its name."""
    return next(figure for figure in FIGURES[kind] if figure.name == name)
