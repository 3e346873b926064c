"""The section across the bore as plain shapes: what a drawing of one pass is made of.

Millimetres, seen along the bore; the origin is the bore's axis and y points to the keyway. The figures are
those of the cut: the smallest bore, the broach's own width, the bushing's back on the wall opposite the keyway.
Source: plain geometry of the circle; a picture only, so floats serve.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import acos, cos, pi, sin, sqrt

from broachplan.errors import InputError
from broachplan.keyways.keyway import Keyway
from broachplan.lengths import Length
from broachplan.tooling.hub import Hub
from broachplan.tooling.pieces import Broach, Bushing, Shim

_ARC_STEPS = 64
_ROUND_STEPS = 144

Point = tuple[float, float]
Ring = tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle; mm."""

    x: float
    y: float
    radius: float

    def ring(self) -> Ring:
        """The circle as a closed polygon."""
        turns = (2 * pi * step / _ROUND_STEPS for step in range(_ROUND_STEPS))
        return tuple((self.x + self.radius * cos(t), self.y + self.radius * sin(t)) for t in turns)


@dataclass(frozen=True, slots=True)
class Rectangle:
    """An upright rectangle on the middle plane: ``width`` across, from ``bottom`` to ``top``; mm."""

    width: float
    bottom: float
    top: float

    def ring(self) -> Ring:
        """The rectangle as a closed polygon."""
        half = self.width / 2
        return ((-half, self.bottom), (half, self.bottom), (half, self.top), (-half, self.top))


@dataclass(frozen=True, slots=True)
class Layer:
    """The metal that one pass takes, as closed polygons: two corners first, then one piece."""

    rings: tuple[Ring, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionPicture:
    """The shapes of one pass, with the last tooth in the hub.

    ``body`` and ``teeth`` are the broach; ``layers`` what each pass took, this one last; ``keyway`` what the
    drawing asks for, and ``floor_low``, ``floor_high`` the limits of its floor.
    """

    hub: Circle | None
    bore: Circle
    bushing: Circle
    bushing_outline: Ring
    slot: Rectangle
    shims: tuple[Rectangle, ...]
    body: Rectangle
    teeth: Rectangle
    layers: tuple[Layer, ...]
    keyway: Rectangle
    floor_low: float
    floor_high: float


def draw_section(
    hub: Hub,
    keyway: Keyway,
    broach: Broach,
    bushing: Bushing,
    stack: Sequence[Shim],
    readings: Sequence[Length],
) -> SectionPicture:
    """The section of one pass.

    Parameters
    ----------
    stack : the shims of this pass, from the slot floor outwards.
    readings : the reading after each pass so far, this one last; none: nothing is cut yet.

    Raises
    ------
    InputError : a piece lacks a figure that its outline needs.
    """
    radius = hub.bore.lower.in_mm / 2
    floor = _known(bushing, "web") - radius
    around = _bushing_circle(bushing, radius)
    shims = _piled(stack, floor)
    seat = shims[-1].top if shims else floor
    body, teeth = _broach(broach, seat)
    return SectionPicture(
        hub=Circle(0.0, 0.0, hub.outside_diameter.in_mm / 2) if hub.outside_diameter else None,
        bore=Circle(0.0, 0.0, radius),
        bushing=around,
        bushing_outline=_slotted(around, _known(bushing, "slot_width"), floor),
        slot=Rectangle(_known(bushing, "slot_width"), floor, around.y + around.radius),
        shims=shims,
        body=body,
        teeth=teeth,
        layers=_layers(radius, teeth.width, readings),
        keyway=Rectangle(keyway.width.nominal.in_mm, 0.0, keyway.aim.in_mm - radius),
        floor_low=keyway.reading.lower.in_mm - radius,
        floor_high=keyway.reading.upper.in_mm - radius,
    )


def _known(piece: Broach | Bushing | Shim, name: str) -> float:
    value = getattr(piece, name)
    if not isinstance(value, Length):
        raise InputError(piece.tag, f"{name.replace('_', ' ')} is not measured, so no section can be drawn")
    return value.in_mm


def _bushing_circle(bushing: Bushing, bore_radius: float) -> Circle:
    radius = _known(bushing, "outside_diameter") / 2
    return Circle(0.0, radius - bore_radius, radius)


def _slotted(around: Circle, width: float, floor: float) -> Ring:
    """The bushing's outline with its slot: round the back, then down one side of the slot and up the other."""
    across_floor = sqrt(max(around.radius**2 - (floor - around.y) ** 2, 0.0))
    flat = floor > around.y and across_floor <= width / 2
    half = across_floor if flat else min(width / 2, around.radius)
    start = acos(half / around.radius)
    sweep = pi + 2 * start
    back = tuple(
        (around.radius * cos(angle), around.y + around.radius * sin(angle))
        for angle in (start - sweep * step / _ROUND_STEPS for step in range(_ROUND_STEPS + 1))
    )
    return back if flat else (*back, (-half, floor), (half, floor))


def _piled(stack: Sequence[Shim], floor: float) -> tuple[Rectangle, ...]:
    piled = []
    for shim in stack:
        top = floor + _known(shim, "thickness")
        piled.append(Rectangle(_known(shim, "width"), floor, top))
        floor = top
    return tuple(piled)


def _broach(broach: Broach, seat: float) -> tuple[Rectangle, Rectangle]:
    """Body up to the roots of the teeth (to the first tooth where they are not known), teeth up to the last one.

    A body whose width is not known is drawn as wide as the teeth.
    """
    shoulder = "root_height" if broach.root_height is not None else "first_tooth_height"
    body = "body_width" if broach.body_width is not None else "keyway_width"
    root = seat + _known(broach, shoulder)
    top = seat + _known(broach, "last_tooth_height")
    return (
        Rectangle(_known(broach, body), seat, root),
        Rectangle(_known(broach, "keyway_width"), root, top),
    )


def _layers(radius: float, width: float, readings: Sequence[Length]) -> tuple[Layer, ...]:
    layers = []
    bottom = -radius
    for reading in readings:
        top = reading.in_mm - radius
        layers.append(Layer(_corners(radius, width / 2, bottom, top)))
        bottom = max(bottom, top)
    return tuple(layers)


def _corners(radius: float, half: float, bottom: float, top: float) -> tuple[Ring, ...]:
    """What lies outside the bore and within ``half`` of the middle plane, between two heights."""
    half = min(half, radius)
    if top <= bottom or top <= sqrt(radius**2 - half**2):
        return ()
    if top >= radius:
        return ((*_surface(radius, -half, half, bottom), (half, top), (-half, top)),)
    inner = sqrt(radius**2 - top**2)
    right = (*_surface(radius, inner, half, bottom), (half, top))
    return tuple((-x, y) for x, y in right), right


def _surface(radius: float, start: float, end: float, bottom: float) -> Ring:
    """The bore wall from ``start`` to ``end``, where it is not cut down to ``bottom`` already."""
    stops = [start + (end - start) * step / _ARC_STEPS for step in range(_ARC_STEPS + 1)]
    if -radius < bottom < radius:
        bend = sqrt(radius**2 - bottom**2)
        stops = sorted({*stops, *(x for x in (-bend, bend) if start < x < end)})
    return tuple((x, max(sqrt(max(radius**2 - x**2, 0.0)), bottom)) for x in stops)
