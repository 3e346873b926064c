"""Pieces as a small drawing shows them: seen from one side, with names for the places where a figure is taken.

No piece has these sizes: the drawings show where to measure, so heights and slots are drawn larger than they are.
Units are those of the drawing alone; x points right and y up.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import asin, cos, pi, sin

Point = tuple[float, float]
Ring = tuple[Point, ...]

_STEPS = 72
_TEETH, _RISING, _PITCH = 6, 4, 12.0
_FIRST_TOOTH, _LOW, _RISE = 30.0, 22.0, 3.5
_GULLET, _PILOT, _REAR = 13.0, 18.0, 114.0


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """A piece seen from one side.

    Each of ``rings`` is an outline; ``holes`` are cut out of them. ``beside`` are outlines of what is not the piece
    itself but is there when it is measured. ``points`` are the places by the names that people read. Each is only itself,
    so that figures, which name one, can be looked up by.
    """

    rings: tuple[Ring, ...]
    points: Mapping[str, Point]
    holes: tuple[Ring, ...] = ()
    beside: tuple[Ring, ...] = field(default=())


def box(left: float, bottom: float, right: float, top: float) -> Ring:
    """An upright rectangle."""
    return ((left, bottom), (right, bottom), (right, top), (left, top))


def circle(radius: float) -> Ring:
    """A circle about the origin."""
    return tuple(
        (radius * cos(2 * pi * step / _STEPS), radius * sin(2 * pi * step / _STEPS)) for step in range(_STEPS)
    )


def _edge(tooth: int) -> Point:
    """The edge of a tooth, from 0."""
    return _FIRST_TOOTH + tooth * _PITCH, _LOW + _RISE * min(tooth, _RISING - 1)


def _toothed() -> Ring:
    """A broach from the side, its leading end on the left: pilot, rising teeth, teeth of full height, rear end."""
    points: list[Point] = [(0, 0), (0, _PILOT), (_FIRST_TOOTH - 5, _PILOT), (_FIRST_TOOTH - 4, _GULLET)]
    for tooth in range(_TEETH):
        x, top = _edge(tooth)
        points += [(x, _GULLET), (x, top), (x + 2.5, top - 0.5), (x + 5, _GULLET)]
    last = _edge(_TEETH - 1)[0]
    return (*points, (last + 8, _GULLET), (last + 9, _PILOT + 4), (_REAR, _PILOT + 4), (_REAR, 0))


def _slotted(radius: float, half: float, floor: float) -> Ring:
    """A circle with a slot from above."""
    start = asin(half / radius)
    sweep = 2 * pi - 2 * start
    angles = (pi / 2 + start + sweep * step / _STEPS for step in range(_STEPS + 1))
    return (*((radius * cos(angle), radius * sin(angle)) for angle in angles), (half, floor), (-half, floor))


_LAST = _TEETH - 1
BROACH_SIDE = Seen(
    (_toothed(),),
    {
        "back below the first tooth": (_edge(0)[0], 0),
        "edge of the first tooth": _edge(0),
        "back below the last tooth": (_edge(_LAST)[0], 0),
        "edge of the last tooth": _edge(_LAST),
        "edge of the next tooth": _edge(1),
        "first tooth of full height": _edge(_RISING - 1),
        "tooth after the first of full height": _edge(_RISING),
        "back below the gullet": (_FIRST_TOOTH + 8.5, 0),
        "bottom of the lowest gullet": (_FIRST_TOOTH + 8.5, _GULLET),
        "leading end": (0, _PILOT),
        "rear end": (_REAR, _PILOT + 4),
    },
)
# One gullet alone, with the edges of the teeth before and behind it.
GULLET = Seen(
    (
        (
            *((0, 0), (0, 22), (5, 26), (5, 30), (9, 29), (22, 14), (30, 11), (38, 13), (40, 20), (40, 34)),
            *((46, 33), (58, 18), (58, 0)),
        ),
    ),
    {"edge of one tooth": (5, 30), "edge of the next": (40, 34)},
    beside=(((5, 30), (9, 29), (22, 14), (30, 11), (38, 13), (40, 20), (40, 34)),),
)
BROACH_END = Seen(
    ((*((-10, 0), (-10, 24), (-13, 24), (-13, 34), (13, 34), (13, 24), (10, 24), (10, 0)),),),
    {
        "one side of a tooth": (-13, 29),
        "its other side": (13, 29),
        "one side of the body": (-10, 10),
        "the body's other side": (10, 10),
    },
)
BUSHING_END = Seen(
    (_slotted(30, 8, -6),),
    {
        "back": (0, -30),
        "slot floor": (0, -6),
        "rule laid across the slot's mouth": (0, 28.9),
        "one side": (-30, 0),
        "other side": (30, 0),
        "one side of the slot": (-8, 12),
        "other side of the slot": (8, 12),
    },
)
BUSHING_WITH_BROACH = Seen(
    (_slotted(30, 8, -6),),
    {"back of the bushing": (0, -30), "edge of the last tooth": (0, 42)},
    beside=(box(-7, -6, 7, 42),),
)
BUSHING_SIDE = Seen(
    ((*((0, -28), (-8, -28), (-8, 28), (0, 28), (0, 20), (70, 20), (70, -20), (0, -20)),),),
    {
        "underside of the collar": (0, -28),
        "far end": (70, -20),
        "top of the collar": (-8, 24),
        "its underside": (0, 24),
    },
)
SHIM_EDGE = Seen((box(0, 0, 90, 5),), {"one face": (45, 0), "other face": (45, 5)})
SHIM_FACE = Seen(
    (box(0, 0, 90, 18),),
    {"one edge": (45, 0), "other edge": (45, 18), "one end": (0, 0), "other end": (90, 0)},
)
PRESS_SIDE = Seen(
    (
        ((0, 0), (74, 0), (74, 10), (18, 10), (18, 58), (62, 58), (62, 70), (0, 70)),
        box(46, 36, 56, 80),
    ),
    {
        "table": (51, 10),
        "ram at its highest": (51, 36),
        "frame": (18, 24),
        "middle of the ram": (51, 24),
        "highest": (64, 36),
        "lowest": (64, 20),
        "plate": (9, 40),
    },
    beside=(box(4, 34, 14, 46), box(46, 20, 56, 36)),
)
PIN_SIDE = Seen(
    (box(0, 0, 80, 14),),
    {"one side": (40, 0), "other side": (40, 14), "one end": (0, 0), "other end": (80, 0)},
)
RING_END = Seen((circle(30),), {"outside": (0, 30), "inside": (0, 23)}, holes=(circle(23),))
RING_SIDE = Seen((box(0, 0, 60, 40),), {"one end": (0, 0), "other end": (60, 0)})
