"""How to take a figure: a sentence or two, and a small drawing in dots with its two places numbered."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from textwrap import wrap

from broachplan.canvas import SLANTED, SOLID, SPARSE, Blocks, Canvas, Cell, Pattern
from broachplan.tooling.figures import Figure
from broachplan.tooling.seen import Ring
from broachplan.tooling.taking import Taking
from broachplan.tooling.taking_picture import DrawnPart, DrawnShape, TakingPicture, taking_picture

COLUMNS, ROWS = 46, 11
_FILLS: dict[DrawnPart, Pattern] = {
    DrawnPart.PIECE: SPARSE,
    DrawnPart.BESIDE: SLANTED,
    DrawnPart.ANVIL: SOLID,
}


# Where a font has no braille.
BLOCKS = Blocks(
    areas={DrawnPart.PIECE: "░", DrawnPart.BESIDE: "▒"},
    # A ball is smaller than a cell, so that all it touches is drawn.
    lines={DrawnPart.ANVIL: "█", DrawnPart.MEASURED: "·"},
)


def ways_of(figure: Figure) -> tuple[Taking, ...]:
    """The ways to take a figure that have a drawing."""
    return tuple(way for way in (figure.taken, figure.or_taken) if way is not None)


def how_words(figure: Figure, place: int = 0) -> str:
    """How a figure is taken, in a sentence or two; ``place`` says which of its ways."""
    ways = ways_of(figure)
    also = ways[place].also if place < len(ways) else ""
    first = "" if place else f"{figure.how[:1].upper()}{figure.how[1:]}."
    return " ".join(each for each in (first, also) if each)


def places_in_words(taking: Taking) -> str:
    """What the numbers of a drawing mean."""
    return "   ".join(f"{number} {name}" for number, (name, _) in enumerate(taking.places, 1))


def how_lines(figure: Figure, width: int, rows: int = ROWS, blocks: Blocks | None = None) -> Iterator[str]:
    """Title, sentences, drawing and its numbers, each way under the one before; without ``rows`` no drawing."""
    yield f"{figure.label.upper()}{'   (no plan can do without it)' if figure.needed else ''}"
    for place, way in enumerate(ways_of(figure)):
        if place:
            yield ""
            yield "OR, WITH A BROACH IN THE SLOT" if way.seen.beside else "OR"
        yield from wrap(how_words(figure, place), width)
        if rows:
            yield from _trimmed(drawn(way, min(width, COLUMNS), rows).lines(blocks))
        yield from wrap(places_in_words(way), width)
    if not ways_of(figure):
        yield from wrap(how_words(figure), width)


def _trimmed(drawing: Iterable[Iterable[Cell]]) -> list[str]:
    """A drawing's lines without the empty ones above and below it."""
    lines = ["".join(cell.character for cell in row).rstrip() for row in drawing]
    inked = [place for place, line in enumerate(lines) if line]
    return lines[inked[0] : inked[-1] + 1] if inked else []


def drawn(taking: Taking, columns: int, rows: int) -> Canvas:
    """The drawing in ``columns`` by ``rows`` cells, one scale for both directions."""
    canvas, picture = Canvas(columns, rows), taking_picture(taking)
    view = _View.of(picture, canvas)
    for shape in picture.shapes:
        _paint(canvas, shape, view)
    for number, point in picture.numbers:
        x, y = view.dot(point)
        canvas.write(round(x / 2 - 0.5), round(y / 4 - 0.5), number, "number")
    return canvas


class _View:
    """How the drawing's units become dots."""

    def __init__(self, scale: float, left: float, top: float) -> None:
        self._scale, self._left, self._top = scale, left, top

    @classmethod
    def of(cls, picture: TakingPicture, canvas: Canvas) -> _View:
        left, bottom, right, top = picture.around
        scale = min(canvas.width / (right - left), canvas.height / (top - bottom))
        aside = (canvas.width / scale - (right - left)) / 2
        above = (canvas.height / scale - (top - bottom)) / 2
        return cls(scale, left - aside, top + above)

    def dot(self, point: tuple[float, float]) -> tuple[float, float]:
        return (point[0] - self._left) * self._scale, (self._top - point[1]) * self._scale

    def ring(self, ring: Ring) -> Ring:
        return tuple(self.dot(point) for point in ring)


def _paint(canvas: Canvas, shape: DrawnShape, view: _View) -> None:
    ring = view.ring(shape.ring)
    if shape.line:
        canvas.trace(ring, shape.part, closed=False, dash=0 if shape.part is not DrawnPart.MEASURED else 2)
        return
    rings = [ring, *(view.ring(hole) for hole in shape.holes)]
    canvas.fill(rings, _FILLS[shape.part], shape.part)
    for each in rings:
        canvas.trace(each, shape.part)
