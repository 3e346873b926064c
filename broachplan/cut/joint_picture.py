"""The section across shaft, key and hub as plain shapes: what a drawing of a joint is made of.

Millimetres, seen along the shaft; the origin is the axis and y points to the key. All figures are the nominal ones, a
Woodruff key is cut through its middle. Source: plain geometry of the circle; a picture only, so floats serve.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, cos, pi, sin

from broachplan.cut.picture import Circle, Rectangle, Ring
from broachplan.keyways.joint import Joint

_ROUND_STEPS = 144


@dataclass(frozen=True, slots=True, kw_only=True)
class JointSection:
    """The shapes of one joint.

    ``shaft`` is the shaft's outline with its keyseat, ``bore`` the hub's inner outline with its keyway; ``key`` is one
    block, or two of different width for a stepped key, from the shaft outwards. ``seat`` and ``keyway`` are the two
    slots from the axis side to their floors.
    """

    around: Circle
    shaft: Ring
    bore: Ring
    key: tuple[Rectangle, ...]
    seat: Rectangle
    keyway: Rectangle


def draw_joint(joint: Joint) -> JointSection:
    """The section of a joint, all on size."""
    radius = joint.diameter.in_mm / 2
    seat_floor = joint.shaft.reading.nominal.in_mm - radius
    hub_floor = joint.hub.reading.nominal.in_mm - radius
    key_top = joint.over_key.in_mm - radius
    seat_width, hub_width = joint.shaft.width.nominal.in_mm, joint.hub.width.nominal.in_mm
    return JointSection(
        around=Circle(0.0, 0.0, radius),
        shaft=_slotted(radius, seat_width, seat_floor),
        bore=_slotted(radius, hub_width, hub_floor),
        key=_key(joint, seat_floor, key_top),
        seat=Rectangle(seat_width, seat_floor, radius),
        keyway=Rectangle(hub_width, 0.0, hub_floor),
    )


def _key(joint: Joint, bottom: float, top: float) -> tuple[Rectangle, ...]:
    stepped = joint.stepped
    if stepped is None:
        return (Rectangle(joint.key.width.in_mm, bottom, top),)
    if not stepped.step:
        return (Rectangle(stepped.shaft_width.nominal.in_mm, bottom, top),)
    step = bottom + stepped.in_shaft.nominal.in_mm
    return (
        Rectangle(stepped.shaft_width.nominal.in_mm, bottom, step),
        Rectangle(stepped.hub_width.nominal.in_mm, step, top),
    )


def _slotted(radius: float, width: float, floor: float) -> Ring:
    """A circle with a slot of parallel sides on the middle plane: inwards for a shaft, outwards for a bore."""
    half = min(width / 2, radius)
    start = acos(half / radius)
    sweep = pi + 2 * start
    angles = (start - sweep * step / _ROUND_STEPS for step in range(_ROUND_STEPS + 1))
    back = tuple((radius * cos(angle), radius * sin(angle)) for angle in angles)
    return (*back, (-half, floor), (half, floor))
