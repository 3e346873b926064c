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
    """One figure of a piece. ``needed`` to plan with it: a piece that lacks it stays in the crib, out of plans."""

    name: str
    quantity: Quantity
    needed: bool
    label: str
    least: int = 1


def _length(name: str, label: str, *, needed: bool = False) -> Figure:
    return Figure(name, Quantity.LENGTH, needed, label)


FIGURES: dict[Kind, tuple[Figure, ...]] = {
    Kind.BROACH: (
        _length("keyway_width", "keyway width", needed=True),
        _length("body_width", "body width", needed=True),
        _length("first_tooth_height", "back to first tooth", needed=True),
        _length("last_tooth_height", "back to last tooth", needed=True),
        _length("tooth_pitch", "tooth pitch", needed=True),
        Figure("rising_teeth", Quantity.COUNT, True, "rising teeth", least=2),
        Figure("finishing_teeth", Quantity.COUNT, False, "finishing teeth", least=0),
        _length("root_height", "root height"),
        _length("front_length", "front before the first tooth"),
        _length("overall_length", "overall length"),
        Figure("gullet_area", Quantity.AREA, False, "gullet area"),
    ),
    Kind.BUSHING: (
        _length("outside_diameter", "outside diameter", needed=True),
        _length("slot_width", "slot width", needed=True),
        _length("web", "web", needed=True),
        _length("length", "length"),
        _length("collar_height", "collar height"),
    ),
    Kind.SHIM: (
        _length("thickness", "thickness", needed=True),
        _length("width", "width", needed=True),
        _length("length", "length"),
    ),
    Kind.PRESS: (
        Figure("rated_force", Quantity.FORCE, True, "rated force"),
        _length("opening", "opening"),
        _length("throat", "throat"),
        _length("stroke", "stroke"),
    ),
    Kind.PIN: (_length("diameter", "diameter"), _length("length", "length")),
    Kind.RING: (_length("wall", "wall"), _length("length", "length")),
}
