"""The small drawing of how a figure is taken, as plain shapes: terminals draw them in dots, paper in lines.

Units are those of `tooling.seen`. What is measured is a line between the two places; anvils lie outside of it or,
where they spread, within.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from math import cos, hypot, pi, sin

from broachplan.tooling.seen import Point, Ring
from broachplan.tooling.taking import Taking, Touch

# Of the longer side of the drawing.
_ANVIL, _STEM, _MARK, _RULE_OFF, _RIM = 0.055, 0.075, 0.045, 0.09, 0.2
_BALL_STEPS = 24


class DrawnPart(StrEnum):
    """What a shape shows."""

    PIECE = "piece"
    BESIDE = "beside"
    ANVIL = "anvil"
    MEASURED = "measured"


@dataclass(frozen=True, slots=True)
class DrawnShape:
    """An outline, closed and filled unless it is a ``line``; ``holes`` are left out of it."""

    part: DrawnPart
    ring: Ring
    holes: tuple[Ring, ...] = ()
    line: bool = False


@dataclass(frozen=True, slots=True)
class TakingPicture:
    """Shapes in the order of drawing, a number at each place, and what they take up: left, bottom, right, top."""

    shapes: tuple[DrawnShape, ...]
    numbers: tuple[tuple[str, Point], ...]
    around: tuple[float, float, float, float]


def taking_picture(taking: Taking) -> TakingPicture:
    """The drawing of one way to take a figure."""
    seen = taking.seen
    corners = [point for ring in (*seen.rings, *seen.beside) for point in ring]
    left, right = min(x for x, _ in corners), max(x for x, _ in corners)
    bottom, top = min(y for _, y in corners), max(y for _, y in corners)
    size = max(right - left, top - bottom)
    marked = tuple(_marks(taking, size, bottom))
    rim = size * _RIM
    return TakingPicture(
        (
            *(DrawnShape(DrawnPart.PIECE, ring, seen.holes) for ring in seen.rings),
            *(DrawnShape(DrawnPart.BESIDE, ring) for ring in seen.beside),
            *(shape for shape, _ in marked if shape),
        ),
        tuple(number for _, number in marked if number),
        (left - rim, bottom - rim, right + rim, top + rim),
    )


_Mark = tuple[DrawnShape | None, tuple[str, Point] | None]


def _marks(taking: Taking, size: float, bottom: float) -> Iterator[_Mark]:
    points = [point for _, point in taking.places]
    if taking.touch in (Touch.READ_OFF, Touch.TRACED):
        for number, (x, y) in enumerate(points, 1):
            yield None, (str(number), (x, y + size * _MARK * 1.6))
        return
    if taking.touch in (Touch.FLAT, Touch.BALL, Touch.WITHIN):
        yield from _between_anvils(taking.touch, points[0], points[1], size)
    elif points[0][0] == points[1][0] or taking.touch is Touch.ACROSS:
        yield from _straight(points[0], points[1], size)
    else:
        yield from _beside(points, size, bottom, over=taking.touch is not Touch.RULE)


def _between_anvils(touch: Touch, first: Point, second: Point, size: float) -> Iterator[_Mark]:
    yield DrawnShape(DrawnPart.MEASURED, (first, second), line=True), None
    along = _towards(first, second)
    within = touch is Touch.WITHIN
    for number, point, outward in (("1", first, _turned(along)), ("2", second, along)):
        way = _turned(outward) if within else outward
        for ring in _anvil(point, way, size, ball=touch is Touch.BALL and number == "2", stem=not within):
            yield DrawnShape(DrawnPart.ANVIL, ring), None
        far = size * (-1.5 * _MARK if within else _ANVIL + _STEM + _MARK)
        yield None, (number, _from(point, way, far))


def _anvil(point: Point, way: Point, size: float, *, ball: bool, stem: bool) -> Iterator[Ring]:
    """What touches at ``point`` and lies from there in the direction ``way``, and its stem."""
    half, deep = size * _ANVIL * 0.55, size * _ANVIL
    if ball:
        radius = deep * 0.6
        middle = _from(point, way, radius)
        yield tuple(
            (
                middle[0] + radius * cos(2 * pi * step / _BALL_STEPS),
                middle[1] + radius * sin(2 * pi * step / _BALL_STEPS),
            )
            for step in range(_BALL_STEPS)
        )
    else:
        yield _block(point, way, half, deep)
    if stem:
        yield _block(_from(point, way, deep * 0.9), way, half * 0.35, size * _STEM)


def _block(point: Point, way: Point, half: float, deep: float) -> Ring:
    across = (-way[1] * half, way[0] * half)
    far = _from(point, way, deep)
    return (
        (point[0] - across[0], point[1] - across[1]),
        (point[0] + across[0], point[1] + across[1]),
        (far[0] + across[0], far[1] + across[1]),
        (far[0] - across[0], far[1] - across[1]),
    )


def _straight(first: Point, second: Point, size: float) -> Iterator[_Mark]:
    """A line from place to place with a tick across it at either."""
    yield DrawnShape(DrawnPart.MEASURED, (first, second), line=True), None
    along = _towards(first, second)
    across, tick = (-along[1], along[0]), size * _MARK * 0.6
    for number, point in (("1", first), ("2", second)):
        ends = _from(point, across, tick), _from(point, across, -tick)
        yield (
            DrawnShape(DrawnPart.MEASURED, ends, line=True),
            (number, _from(point, across, -size * _MARK * 1.6)),
        )


def _beside(points: list[Point], size: float, bottom: float, *, over: bool) -> Iterator[_Mark]:
    """A line above or below the piece, with a line from either place to it."""
    (x0, y0), (x1, y1) = points
    away = 1 if over else -1
    level = max(y0, y1) + size * _RULE_OFF if over else bottom - size * _RULE_OFF
    yield DrawnShape(DrawnPart.MEASURED, ((x0, level), (x1, level)), line=True), None
    for number, (x, y), aside in (("1", (x0, y0), -1), ("2", (x1, y1), 1)):
        end = level + away * size * 0.02
        yield (
            DrawnShape(DrawnPart.MEASURED, ((x, y), (x, end)), line=True),
            (number, (x + aside * size * _MARK, level)),
        )


def _towards(one: Point, other: Point) -> Point:
    across, up = other[0] - one[0], other[1] - one[1]
    long = hypot(across, up)
    return across / long, up / long


def _turned(way: Point) -> Point:
    return -way[0], -way[1]


def _from(point: Point, way: Point, far: float) -> Point:
    return point[0] + way[0] * far, point[1] + way[1] * far
