"""A part on its page: lines, arrows and words, placed in points from the lower left corner, the same for every format."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import hypot

from broachplan.paper.lettering import ASCENT, Block, Font, Room, drawable, set_words, width_of
from broachplan.paper.piece_drawing import Dimension, PieceDrawing, Point, SeenFrom, Side

_PER_MM = 72 / 25.4
_RIM, _GAP = 34.0, 40.0
_TITLE, _LARGE, _WORDS, _SMALL = 20.0, 13.0, 11.0, 9.0
_HEAD, _ROW = 58.0, 34.0
_ARROW, _ARROW_WIDE, _OVER, _CLEAR = 9.0, 3.0, 4.0, 2.5
_THICK, _THIN = 1.5, 0.6
_HATCH = 7.0
_NOTES, _TITLED = 150.0, 22.0
# ISO 5455 recommends these scales: from memory.
_SCALES = tuple(map(Fraction, ("10", "5", "2", "1", "1/2", "1/5", "1/10")))
# A part is drawn larger than it is where it would be smaller than this and there is room.
_SMALL_PART_MM = 25.0
# Thinner than this on paper, two edges are one line.
_THINNEST = 4.0


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line through points; ``dashes`` are lengths on and off, empty where it is whole."""

    points: tuple[Point, ...]
    width: float
    closed: bool = False
    dashes: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Blackened:
    """A black shape: the head of an arrow."""

    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Words:
    """Text from its left end on the base line."""

    at: Point
    text: str
    size: float


Mark = Stroke | Blackened | Words


@dataclass(frozen=True, slots=True)
class DrawnPage:
    """All marks of a page, and its size in points; ``true_size``: it is drawn as large as it is."""

    width: float
    height: float
    title: str
    marks: tuple[Mark, ...]
    true_size: bool


@dataclass(frozen=True, slots=True)
class _Placed:
    """A view on the page: where its origin is, and points for a millimetre of the part."""

    view: SeenFrom
    x: float
    y: float
    scale: float
    thin_by: float = 1.0

    def at(self, point: Point) -> Point:
        return Point(self.x + point.x * self.scale, self.y + point.y * self.scale * self.thin_by)


def drawn_page(part: PieceDrawing, page: tuple[float, float]) -> DrawnPage:
    """A part on a page of that size, laid across: as large as it is where there is room, else at a scale that is said."""
    width, height = max(page), min(page)
    room = width - 2 * _RIM, height - 2 * _RIM - _HEAD - _NOTES
    scale = _scale(part, *room)
    placed = list(_placed(part, scale, room, height))
    stretched = any(each.thin_by != 1 for each in placed)
    marks = [
        *_head(part, scale, width, height, stretched=stretched),
        *_notes(part, width),
        *(mark for each in placed for mark in _drawn(each)),
    ]
    return DrawnPage(width, height, part.title, tuple(marks), scale == 1)


def scale_words(scale: Fraction) -> str:
    """A scale as a drawing names it: ``2:1``, ``1:5``."""
    return f"{scale.numerator}:{scale.denominator}"


# -- where views are -----------------------------------------------------------------------------------------------


def _scale(part: PieceDrawing, width: float, height: float) -> Fraction:
    """The natural size where the part is not small and there is room; else the largest scale for which there is."""
    fitting = [scale for scale in _SCALES if _fits(part, scale, width, height)]
    largest = max(_breadth(view) for view in part.views)
    if Fraction(1) in fitting and largest >= _SMALL_PART_MM:
        return Fraction(1)
    return fitting[0] if fitting else _SCALES[-1]


def _fits(part: PieceDrawing, scale: Fraction, width: float, height: float) -> bool:
    across, up = _needed(part, float(scale) * _PER_MM)
    return across <= width and up <= height


def _needed(part: PieceDrawing, scale: float) -> tuple[float, float]:
    """How much room the views need with their dimensions and titles."""
    boxes = [_with_dimensions(view, scale) for view in part.views]
    wide, tall = (
        [left + right for left, right, _, _ in boxes],
        [low + high + _TITLED for *_, low, high in boxes],
    )
    if part.stacked:
        return max(wide), sum(tall)
    return sum(wide) + _GAP * (len(boxes) - 1), max(tall)


def _with_dimensions(view: SeenFrom, scale: float) -> tuple[float, float, float, float]:
    """From the middle of a view to the left, right, lower and upper ends of all that is drawn of it."""
    low, high = view.box
    across, up = (high.x - low.x) / 2 * scale, max((high.y - low.y) * scale, _THINNEST) / 2
    sides = {side: [one for one in view.dimensions if one.side is side] for side in Side}
    right = across + max((_ROW + _widest(one) for one in sides[Side.RIGHT]), default=0.0)
    wide = max((_widest(one) / 2 for side in (Side.ABOVE, Side.BELOW) for one in sides[side]), default=0.0)
    tall = {side: _ROW + _LARGE + _WORDS if sides[side] else 12.0 for side in (Side.ABOVE, Side.BELOW)}
    return max(across, wide), max(right, wide), up + tall[Side.BELOW], up + tall[Side.ABOVE]


def _widest(dimension: Dimension) -> float:
    return max(width_of(text, Font.WORDS, _size_of(at)) for at, text in enumerate(dimension.words))


def _size_of(line: int) -> float:
    return _WORDS if line else _LARGE


def _breadth(view: SeenFrom) -> float:
    low, high = view.box
    return max(high.x - low.x, high.y - low.y)


def _placed(
    part: PieceDrawing, scale: Fraction, room: tuple[float, float], height: float
) -> Iterator[_Placed]:
    """The views in the middle of their room, from the left, or from the top."""
    per_mm = float(scale) * _PER_MM
    across, up = _needed(part, per_mm)
    x, y = _RIM + (room[0] - across) / 2, height - _RIM - _HEAD - (room[1] - up) / 2
    boxes = [_with_dimensions(view, per_mm) for view in part.views]
    highest = max(high for *_, high in boxes)
    for view, (left, right, below, above) in zip(part.views, boxes, strict=True):
        low, high = view.box
        tall = (high.y - low.y) * per_mm
        thin_by = _THINNEST / tall if tall < _THINNEST else 1.0
        middle = y - (above if part.stacked else highest)
        origin_x = x + left - (low.x + high.x) / 2 * per_mm
        yield _Placed(view, origin_x, middle - (low.y + high.y) / 2 * per_mm * thin_by, per_mm, thin_by)
        if part.stacked:
            y -= below + above + _TITLED
        else:
            x += left + right + _GAP


# -- what is drawn of a view ----------------------------------------------------------------------------------------


def _drawn(placed: _Placed) -> Iterator[Mark]:
    view = placed.view
    for outline in view.outlines:
        points = tuple(placed.at(point) for edge in outline.edges for point in edge.points())
        if outline.cut:
            yield from _hatched(points)
        yield Stroke(points, _THICK, closed=True)
    for start, end in view.centre_lines:
        yield Stroke((placed.at(start), placed.at(end)), _THIN, dashes=(14.0, 3.0, 3.0, 3.0))
    for dimension in view.dimensions:
        yield from _dimension(dimension, placed)
    low, high = view.box
    middle = placed.at(Point((low.x + high.x) / 2, 0.0)).x
    _, _, foot, _ = _with_dimensions(view, placed.scale)
    centre = placed.at(Point(0.0, (low.y + high.y) / 2)).y
    yield from _centred(view.title, middle, centre - foot - _LARGE, _WORDS)


def _hatched(points: tuple[Point, ...]) -> Iterator[Stroke]:
    """Lines at 45 degrees within a polygon: each is cut where it crosses an edge, and drawn between crossings."""
    edges = list(zip(points, (*points[1:], points[0]), strict=True))
    at = min(point.y - point.x for point in points) + _HATCH / 2
    while at < max(point.y - point.x for point in points):
        crossings = []
        for one, other in edges:
            here, there = one.y - one.x - at, other.y - other.x - at
            if (here < 0) != (there < 0):
                share = here / (here - there)
                crossings.append(Point(one.x + share * (other.x - one.x), one.y + share * (other.y - one.y)))
        crossings.sort()
        for start, end in zip(crossings[::2], crossings[1::2], strict=False):
            yield Stroke((start, end), _THIN)
        at += _HATCH


def _dimension(dimension: Dimension, placed: _Placed) -> Iterator[Mark]:
    """Extension lines, the line between them with its arrows, and the words."""
    low, high = (placed.at(corner) for corner in placed.view.box)
    start, end = placed.at(dimension.start), placed.at(dimension.end)
    out = _ROW * (dimension.row + 1) - 12
    if dimension.side is Side.RIGHT:
        line = high.x + out
        first, last = Point(line, start.y), Point(line, end.y)
        feet = Point(start.x + _CLEAR, start.y), Point(end.x + _CLEAR, end.y)
        past = (Point(line + _OVER, start.y), Point(line + _OVER, end.y))
    else:
        up = 1 if dimension.side is Side.ABOVE else -1
        line = high.y + out if up > 0 else low.y - out
        first, last = Point(start.x, line), Point(end.x, line)
        feet = Point(start.x, start.y + up * _CLEAR), Point(end.x, end.y + up * _CLEAR)
        past = (Point(start.x, line + up * _OVER), Point(end.x, line + up * _OVER))
    for foot, top in zip(feet, past, strict=True):
        yield Stroke((foot, top), _THIN)
    yield from _arrows(first, last)
    yield from _dimension_words(dimension, first, last)


def _arrows(first: Point, last: Point) -> Iterator[Mark]:
    """A line with an arrow at either end; where it is short they point at it from outside."""
    long = hypot(last.x - first.x, last.y - first.y)
    ahead = Point((last.x - first.x) / long, (last.y - first.y) / long)
    inside = long >= 3 * _ARROW
    reach = 0.0 if inside else 2 * _ARROW
    ends = (
        Point(first.x - ahead.x * reach, first.y - ahead.y * reach),
        Point(last.x + ahead.x * reach, last.y + ahead.y * reach),
    )
    yield Stroke(ends, _THIN)
    back = _ARROW if inside else -_ARROW
    for tip, way in ((first, back), (last, -back)):
        base = Point(tip.x + ahead.x * way, tip.y + ahead.y * way)
        across = Point(-ahead.y * _ARROW_WIDE / 2, ahead.x * _ARROW_WIDE / 2)
        yield Blackened(
            (tip, Point(base.x + across.x, base.y + across.y), Point(base.x - across.x, base.y - across.y))
        )


def _dimension_words(dimension: Dimension, first: Point, last: Point) -> Iterator[Words]:
    lines = [(drawable(text), _size_of(at)) for at, text in enumerate(dimension.words)]
    tall = sum(size for _, size in lines) + 2
    if dimension.side is Side.RIGHT:
        y = (first.y + last.y) / 2 + tall / 2
        for text, size in lines:
            y -= size
            yield Words(Point(first.x + 8, y + 2), text, size)
        return
    middle = (first.x + last.x) / 2
    y = first.y + tall + _OVER if dimension.side is Side.ABOVE else first.y - _OVER
    for text, size in lines:
        y -= size
        yield from _centred(text, middle, y, size)


def _centred(text: str, middle: float, y: float, size: float) -> Iterator[Words]:
    text = drawable(text)
    yield Words(Point(middle - width_of(text, Font.WORDS, size) / 2, y), text, size)


# -- head and notes -------------------------------------------------------------------------------------------------


def _head(
    part: PieceDrawing, scale: Fraction, width: float, height: float, *, stretched: bool
) -> Iterator[Mark]:
    top = height - _RIM
    yield Words(Point(_RIM, top - _TITLE), drawable(part.title), _TITLE)
    than = "" if scale == 1 else f", {'larger' if scale > 1 else 'smaller'} than the part"
    said = f"SCALE {scale_words(scale)}{than}"
    said += "; the edge is drawn thicker than it is" if stretched else ""
    yield Words(Point(width - _RIM - width_of(said, Font.WORDS, _WORDS), top - _TITLE), said, _WORDS)
    purpose = set_words(part.purpose, Room(width - 2 * _RIM, _WORDS * 1.3, _WORDS, _SMALL))
    yield from _block(purpose, _RIM, top - _TITLE - 6)
    yield Stroke((Point(_RIM, top - _HEAD + 12), Point(width - _RIM, top - _HEAD + 12)), _THIN)


def _notes(part: PieceDrawing, width: float) -> Iterator[Mark]:
    """The notes at the foot of the page, numbered, in letters as large as they all fit."""
    top = _RIM + _NOTES
    yield Stroke((Point(_RIM, top + 6), Point(width - _RIM, top + 6)), _THIN)
    for size in (_WORDS, 10.5, 10.0, 9.5, _SMALL):
        blocks = [
            set_words(note, Room(width - 2 * _RIM - 18, _NOTES, size, size, 1.2)) for note in part.notes
        ]
        if sum(block.height + 3 for block in blocks) <= _NOTES:
            break
    for number, block in enumerate(blocks, 1):
        yield Words(Point(_RIM, top - ASCENT * block.size), f"{number}", block.size)
        yield from _block(block, _RIM + 18, top)
        top -= block.height + 3


def _block(block: Block, x: float, top: float) -> Iterator[Words]:
    for place, text in enumerate(block.lines):
        yield Words(Point(x, top - (ASCENT + block.spread * place) * block.size), text, block.size)
