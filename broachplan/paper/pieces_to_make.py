"""The drawing of a bushing to turn and slot, and of a shim to cut, from what the planner would have made."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

from broachplan.lengths import NM_PER_MM, Length, Units, show
from broachplan.paper.piece_drawing import (
    Dimension,
    Edge,
    Outline,
    PieceDrawing,
    Point,
    SeenFrom,
    Side,
    straight,
)
from broachplan.planner.answer import Make
from broachplan.shown import between_in_words
from broachplan.tooling.figures import Kind

# The collar's diameter is free: so much it is drawn beyond the body on either side.
_COLLAR_MM = 4.0
# Shims have no length that is asked for but the hub's; no shorter one is drawn.
_LEAST_SHIM_MM = 20.0
_RESPONSIBLE = (
    "Check these figures with the shop's responsible person before the part is made and before it is used."
)
_COMMON = (
    "Break all edges; no burrs: a burr under a shim cuts the keyway too deep.",
    "Material: free for the shop to choose.",
)


def can_be_drawn(make: Make) -> bool:
    """Whether the shop makes such a piece itself."""
    return make.kind in (Kind.BUSHING, Kind.SHIM)


def part_of(make: Make, hub_length: Length, units: Units, purpose: str) -> PieceDrawing:
    """The drawing of a piece to make.

    Parameters
    ----------
    make : of a bushing or a shim.
    hub_length : what is cut at once, over which a shim should reach.
    units : those that its limits are shown in.
    purpose : which job it is for, in words.
    """
    if make.kind is Kind.BUSHING:
        return _bushing(make, units, purpose)
    return _shim(make, hub_length, units, purpose)


def _bushing(make: Make, units: Units, purpose: str) -> PieceDrawing:
    size = {name: length.nm / NM_PER_MM for name, length in make.best.items()}
    notes = (
        f"{_capital(make.text)}.",
        "Slot: through body and collar, in the middle, its floor parallel to the axis.",
        "Web: from the back to the slot floor. Its limits are worked out from the broach, the shims and the reading of"
        " the drawing; measure the web when it is made and enter it as measured.",
        "Outside diameter: under the least bore; length: that of the hub, or longer; collar: its diameter is larger than the"
        " bore and otherwise free. Common practice, no source.",
        *_COMMON,
        _RESPONSIBLE,
    )
    views = _end_view(make, size, units), _section(make, size, units)
    return PieceDrawing(Kind.BUSHING, "Guide bushing", purpose, views, notes)


def _end_view(make: Make, size: dict[str, float], units: Units) -> SeenFrom:
    radius, half = size["outside_diameter"] / 2, size["slot_width"] / 2
    collar, floor = radius + _COLLAR_MM, size["web"] - radius
    wall, rim = _height(radius, half), _height(collar, half)
    left, right = Point(-half, wall), Point(half, wall)
    low_left, low_right = Point(-half, floor), Point(half, floor)
    top_left, top_right = Point(-half, rim), Point(half, rim)
    centre = Point(0.0, 0.0)
    body = (Edge(right, left, centre, clockwise=True), *straight(left, low_left, low_right, right))
    ring = (
        Edge(top_right, top_left, centre, clockwise=True),
        *straight(top_left, left),
        Edge(left, right, centre),
        *straight(right, top_right),
    )
    out = collar + 3
    return SeenFrom(
        "From the far end",
        (Outline(body), Outline(ring)),
        (
            Dimension(
                "outside_diameter",
                _words(make, "outside_diameter", units, "Ø "),
                Point(-radius, 0.0),
                Point(radius, 0.0),
                Side.BELOW,
            ),
            Dimension(
                "slot_width", _words(make, "slot_width", units, "slot "), top_left, top_right, Side.ABOVE
            ),
            Dimension(
                "web", _words(make, "web", units, "web "), Point(0.0, -radius), Point(half, floor), Side.RIGHT
            ),
        ),
        ((Point(-out, 0.0), Point(out, 0.0)), (Point(0.0, -out), Point(0.0, out))),
    )


def _section(make: Make, size: dict[str, float], units: Units) -> SeenFrom:
    """Cut in the middle plane, the collar on the left, the slot above."""
    radius, length, high = size["outside_diameter"] / 2, size["length"], size["collar_height"]
    rim = _height(radius + _COLLAR_MM, size["slot_width"] / 2)
    long_words = _words(make, "length", units, "length ")
    high_words = _words(make, "collar_height", units, "collar ")
    return SeenFrom(
        "Section in the middle of the slot",
        _halves(size),
        (
            Dimension("length", long_words, Point(0.0, -radius), Point(length, -radius), Side.BELOW),
            Dimension("collar_height", high_words, Point(-high, rim), Point(0.0, rim), Side.ABOVE),
        ),
        ((Point(-high - 3, 0.0), Point(length + 3, 0.0)),),
    )


def _halves(size: dict[str, float]) -> tuple[Outline, Outline]:
    """What the plane cuts below the slot floor, and the slot's wall beyond it."""
    radius, length, high = size["outside_diameter"] / 2, size["length"], size["collar_height"]
    half, collar, floor = size["slot_width"] / 2, radius + _COLLAR_MM, size["web"] - radius
    wall, rim = _height(radius, half), _height(collar, half)
    cut = straight(
        Point(-high, floor),
        Point(-high, -collar),
        Point(0.0, -collar),
        Point(0.0, -radius),
        Point(length, -radius),
        Point(length, floor),
        Point(-high, floor),
    )
    beyond = straight(
        Point(-high, floor),
        Point(length, floor),
        Point(length, wall),
        Point(0.0, wall),
        Point(0.0, rim),
        Point(-high, rim),
        Point(-high, floor),
    )
    return Outline(cut, cut=True), Outline(beyond)


def _shim(make: Make, hub_length: Length, units: Units, purpose: str) -> PieceDrawing:
    thick, wide = (make.best[name].nm / NM_PER_MM for name in ("thickness", "width"))
    long = max(hub_length.nm / NM_PER_MM, _LEAST_SHIM_MM)
    face = _strip(
        "Face",
        Dimension(
            "width", _words(make, "width", units, "wide "), Point(long, 0.0), Point(long, wide), Side.RIGHT
        ),
        Dimension(
            "length",
            (f"length at least {show(hub_length, units)}",),
            Point(0.0, 0.0),
            Point(long, 0.0),
            Side.BELOW,
        ),
        high=wide,
    )
    edge = _strip(
        "Edge",
        Dimension(
            "thickness",
            _words(make, "thickness", units, "thick "),
            Point(long, 0.0),
            Point(long, thick),
            Side.RIGHT,
        ),
        high=thick,
        long=long,
    )
    notes = (
        f"{_capital(make.text)}.",
        "Thickness: its limits are worked out from the broach, the bushing and the reading of the drawing; flat and parallel"
        " within them. Measure it in three places when it is cut, and enter it as measured.",
        "Width: for the slot of the bushing, by the shop's setting for the clearance of shims. Length: over the whole hub;"
        " common practice, no source.",
        *_COMMON,
        _RESPONSIBLE,
    )
    return PieceDrawing(Kind.SHIM, "Shim", purpose, (face, edge), notes, stacked=True)


def _strip(title: str, *dimensions: Dimension, high: float, long: float = 0.0) -> SeenFrom:
    right = long or dimensions[-1].end.x
    corners = Point(0.0, 0.0), Point(right, 0.0), Point(right, high), Point(0.0, high), Point(0.0, 0.0)
    return SeenFrom(title, (Outline(straight(*corners)),), dimensions)


def _height(radius: float, half: float) -> float:
    """How high over the axis a circle is at a distance from its middle plane."""
    return sqrt(max(radius * radius - half * half, 0.0))


def _words(make: Make, name: str, units: Units, before: str = "") -> tuple[str, ...]:
    """The limits of a figure, and beneath them the best size."""
    lower, upper = make.limits[name]
    if lower == upper:
        return (f"{before}{show(lower, units)}",)
    return f"{before}{between_in_words(lower, upper, units)}", f"best {show(make.best[name], units)}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def parts_of(
    makes: Sequence[Make], hub_length: Length, units: Units, purpose: str
) -> tuple[PieceDrawing, ...]:
    """The drawings of all pieces of a way that the shop makes itself."""
    return tuple(part_of(make, hub_length, units, purpose) for make in makes if can_be_drawn(make))
