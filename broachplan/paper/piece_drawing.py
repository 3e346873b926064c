"""A part to be made, as a drawing describes it: views with their outlines, dimensions and notes; no page and no format.

Points are in millimetres of the part, x to the right and y up, each view from an origin of its own.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from math import atan2, cos, hypot, pi, sin
from typing import NamedTuple

from broachplan.tooling.figures import Kind


class Point(NamedTuple):
    """A place in a view, in millimetres of the part."""

    x: float
    y: float


class Side(StrEnum):
    """On which side of a view a dimension is."""

    ABOVE = "above"
    BELOW = "below"
    RIGHT = "right"


@dataclass(frozen=True, slots=True)
class Edge:
    """One line of an outline: straight, or an arc about ``centre``, counter-clockwise or ``clockwise``."""

    start: Point
    end: Point
    centre: Point | None = None
    clockwise: bool = False

    @property
    def radius(self) -> float:
        """The radius of an arc; 0 of a straight line."""
        return (
            0.0 if self.centre is None else hypot(self.start.x - self.centre.x, self.start.y - self.centre.y)
        )

    @property
    def sweep(self) -> float:
        """The angle of an arc in radians, from -2 pi to 2 pi; 0 of a straight line."""
        if self.centre is None:
            return 0.0
        first, last = (atan2(p.y - self.centre.y, p.x - self.centre.x) for p in (self.start, self.end))
        turn = (last - first) % (2 * pi) or 2 * pi
        return turn - 2 * pi if self.clockwise else turn

    def points(self, most: float = pi / 60) -> Iterator[Point]:
        """The start, and of an arc points no farther apart than an angle; not the end."""
        yield self.start
        if self.centre is None:
            return
        count = max(1, round(abs(self.sweep) / most))
        first = atan2(self.start.y - self.centre.y, self.start.x - self.centre.x)
        for number in range(1, count):
            angle = first + self.sweep * number / count
            yield Point(self.centre.x + self.radius * cos(angle), self.centre.y + self.radius * sin(angle))


@dataclass(frozen=True, slots=True)
class Outline:
    """Edges that lead from each to the next and back to the first; ``cut``: what the section cuts, hatched."""

    edges: tuple[Edge, ...]
    cut: bool = False

    def __post_init__(self) -> None:
        for one, following in zip(self.edges, (*self.edges[1:], self.edges[0]), strict=True):
            if one.end != following.start:
                raise ValueError(f"an outline breaks off at {one.end}")


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension between two points: the figure that it is of, by its name, and its words, one line below the other.

    ``row`` is how far out it is, from 0.
    """

    figure: str
    words: tuple[str, ...]
    start: Point
    end: Point
    side: Side
    row: int = 0


@dataclass(frozen=True, slots=True)
class SeenFrom:
    """What is seen from one side; ``centre_lines`` are pairs of points."""

    title: str
    outlines: tuple[Outline, ...]
    dimensions: tuple[Dimension, ...] = ()
    centre_lines: tuple[tuple[Point, Point], ...] = ()

    @property
    def box(self) -> tuple[Point, Point]:
        """The lower left and the upper right corner of its outlines."""
        points = [point for outline in self.outlines for edge in outline.edges for point in edge.points()]
        xs, ys = [point.x for point in points], [point.y for point in points]
        return Point(min(xs), min(ys)), Point(max(xs), max(ys))


@dataclass(frozen=True, slots=True)
class PieceDrawing:
    """A part to be made: its views, side by side or one under the other, and what is to be known beside them."""

    kind: Kind
    title: str
    purpose: str
    views: tuple[SeenFrom, ...]
    notes: tuple[str, ...]
    stacked: bool = False


def straight(*points: Point) -> tuple[Edge, ...]:
    """Straight edges from each point to the next."""
    return tuple(Edge(one, following) for one, following in itertools.pairwise(points))
