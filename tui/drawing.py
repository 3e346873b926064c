"""What every section drawn in dots has: one scale, a legend in words and a scale bar."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from broachplan.canvas import Blocks, Canvas, Pattern
from broachplan.cut.picture import Rectangle, Ring
from broachplan.lengths import Units

SCALE = "scale"
# For fonts without braille: characters that the oldest fonts of terminals have.
BLOCKS = Blocks(
    areas={
        "hub": "░",
        "bushing": "▒",
        "shaft": "▒",
        "shims": "=",
        "broach": "▓",
        "key": "▓",
        "before": "▄",
        "cut": "█",
    },
    lines={"floor": "-", "t": "│", SCALE: "─"},
)
LEAST_COLUMNS, LEAST_ROWS = 12, 6

_LEGEND_WIDTH = 14
_BARS: dict[Units, tuple[tuple[float, str], ...]] = {
    Units.MM: tuple((mm, f"{mm:g} mm") for mm in (100, 50, 20, 10, 5, 2, 1, 0.5, 0.2, 0.1)),
    Units.INCH: tuple((inch * 25.4, f"{inch:g} in") for inch in (4, 2, 1, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01)),
}
Legend = Sequence[tuple[str, str]]
Fills = Mapping[str, Pattern]


@dataclass(frozen=True, slots=True)
class DotView:
    """How millimetres become dots: one scale for both directions."""

    scale: float
    left: float
    top: float

    @classmethod
    def on(cls, across: float, tall: float, middle: float, width: int, height: int) -> DotView:
        """The view that shows ``across`` by ``tall`` millimetres round height ``middle`` in ``width`` by ``height`` dots."""
        scale = min(width / across, height / tall)
        return cls(scale, -width / 2 / scale, middle + height / 2 / scale)

    def ring(self, ring: Ring) -> Ring:
        """A ring in dots."""
        return tuple(((x - self.left) * self.scale, (self.top - y) * self.scale) for x, y in ring)

    def rings(self, rings: tuple[Ring, ...]) -> tuple[Ring, ...]:
        """Rings in dots."""
        return tuple(self.ring(ring) for ring in rings)


def paint_block(canvas: Canvas, block: Rectangle, view: DotView, name: str, pattern: Pattern) -> None:
    """A rectangle, filled and outlined."""
    ring = view.ring(block.ring())
    canvas.fill([ring], pattern, name)
    canvas.trace(ring, name)


def picture_rows(columns: int, rows: int, legend: Legend) -> int:
    """The rows that legend and scale bar leave to the picture."""
    return rows - _legend_rows(columns, legend) - 1


def write_below(canvas: Canvas, view: DotView, legend: Legend, fills: Fills, units: Units) -> None:
    """The scale bar and the legend, in the canvas's last rows."""
    top = picture_rows(canvas.columns, canvas.rows, legend)
    canvas.clear([box((0.0, top * 4.0), (canvas.width, canvas.height))])
    _write_legend(canvas, top + 1, legend, fills)
    _write_scale(canvas, view, top, units)


def box(corner: tuple[float, float], far: tuple[float, float]) -> Ring:
    """The upright rectangle between two corners."""
    return (corner, (far[0], corner[1]), far, (corner[0], far[1]))


def _legend_rows(columns: int, legend: Legend) -> int:
    return -(-len(legend) // max(columns // _LEGEND_WIDTH, 1))


def _write_legend(canvas: Canvas, top: int, legend: Legend, fills: Fills) -> None:
    a_row = -(-len(legend) // _legend_rows(canvas.columns, legend))
    for place, (name, word) in enumerate(legend):
        row, column = top + place // a_row, (place % a_row) * _LEGEND_WIDTH
        corner, far = (column * 2.0, row * 4.0), (column * 2.0 + 4, row * 4.0 + 4)
        canvas.fill([box(corner, far)], fills[name], name)
        canvas.write(column + 3, row, word, name)


def _write_scale(canvas: Canvas, view: DotView, row: int, units: Units) -> None:
    bars = _BARS[Units.MM if units is Units.MM else Units.INCH]
    most = canvas.width * 0.4
    size, words = next((bar for bar in bars if bar[0] * view.scale <= most), bars[-1])
    long = round(size * view.scale)
    middle = row * 4 + 2
    for x in range(long + 1):
        canvas.dot(x, middle, SCALE)
    for y in (middle - 1, middle + 1):
        canvas.dot(0, y, SCALE)
        canvas.dot(long, y, SCALE)
    canvas.write(long // 2 + 2, row, words, SCALE)
