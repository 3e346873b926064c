"""The section of a pass drawn in dots: true to scale, with a legend in words and a scale bar."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.cut.picture import Rectangle, Ring, Section
from broachplan.lengths import Units
from tui.canvas import CHECKED, LINED, SLANTED, SOLID, SPARSE, UPRIGHT, Canvas, Pattern

HUB, BUSHING, SHIMS, BROACH, BEFORE, CUT = "hub", "bushing", "shims", "broach", "before", "cut"
FLOOR, SCALE = "floor", "scale"

_FILLS: dict[str, Pattern] = {
    HUB: SPARSE,
    BUSHING: SLANTED,
    SHIMS: LINED,
    BROACH: UPRIGHT,
    BEFORE: CHECKED,
    CUT: SOLID,
}
_LEGEND = (
    (CUT, "cut now"),
    (BEFORE, "cut before"),
    (BROACH, "broach"),
    (SHIMS, "shims"),
    (BUSHING, "bushing"),
    (HUB, "hub"),
)
_LEGEND_WIDTH = 14
_BARS: dict[Units, tuple[tuple[float, str], ...]] = {
    Units.MM: tuple((mm, f"{mm:g} mm") for mm in (100, 50, 20, 10, 5, 2, 1, 0.5, 0.2, 0.1)),
    Units.INCH: tuple((inch * 25.4, f"{inch:g} in") for inch in (4, 2, 1, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01)),
}


@dataclass(frozen=True, slots=True)
class View:
    """How millimetres become dots: one scale for both directions."""

    scale: float
    left: float
    top: float

    def ring(self, ring: Ring) -> Ring:
        """A ring in dots."""
        return tuple(((x - self.left) * self.scale, (self.top - y) * self.scale) for x, y in ring)

    def rings(self, rings: tuple[Ring, ...]) -> tuple[Ring, ...]:
        """Rings in dots."""
        return tuple(self.ring(ring) for ring in rings)


def paint(section: Section, columns: int, rows: int, units: Units, *, close: bool = False) -> Canvas:
    """Draw one pass in ``columns`` by ``rows`` cells; ``close`` looks at the keyway alone."""
    canvas = Canvas(columns, rows)
    if columns < 12 or rows < 6:
        return canvas
    legend = _legend_rows(columns)
    view = _view(section, canvas.width, (rows - legend - 1) * 4, close=close)
    _paint_pieces(canvas, section, view)
    below = ((0.0, (rows - legend - 1) * 4.0), (canvas.width, canvas.height))
    canvas.clear([_box(*below)])
    _write_legend(canvas, rows - legend)
    _write_scale(canvas, view, rows - legend - 1, units)
    return canvas


def _view(section: Section, width: int, height: int, *, close: bool) -> View:
    radius = section.bore.radius
    highest = max(section.keyway.top, section.floor_high, section.teeth.top)
    if close:
        across = max(section.keyway.width, section.teeth.width) * 2.2
        middle = (section.keyway.top + radius * 0.5 + min(section.slot.bottom, radius * 0.5)) / 2
        tall = (highest - middle) * 2 * 1.25
    else:
        margin = radius * 0.12
        across = 2 * (radius + margin)
        middle = (highest + margin - radius - margin) / 2
        tall = highest + radius + 2 * margin
    scale = min(width / across, height / tall)
    return View(scale, -width / 2 / scale, middle + height / 2 / scale)


def _paint_pieces(canvas: Canvas, section: Section, view: View) -> None:
    bore, bushing = view.ring(section.bore.ring()), view.ring(section.bushing_outline)
    everything = _box((0.0, 0.0), (float(canvas.width), float(canvas.height)))
    outside = view.ring(section.hub.ring()) if section.hub else everything
    canvas.fill([outside, bore], _FILLS[HUB], HUB)
    if section.hub:
        canvas.trace(outside, HUB)
    canvas.trace(bore, HUB)
    canvas.fill([bushing], _FILLS[BUSHING], BUSHING)
    canvas.trace(bushing, BUSHING)
    for shim in section.shims:
        _paint_block(canvas, shim, view, SHIMS)
    _paint_block(canvas, section.body, view, BROACH)
    _paint_block(canvas, section.teeth, view, BROACH)
    for layer in section.layers:
        name = CUT if layer is section.layers[-1] else BEFORE
        canvas.fill(view.rings(layer.rings), _FILLS[name], name)
    _paint_keyway(canvas, section, view)


def _paint_block(canvas: Canvas, block: Rectangle, view: View, name: str) -> None:
    ring = view.ring(block.ring())
    canvas.fill([ring], _FILLS[name], name)
    canvas.trace(ring, name)


def _paint_keyway(canvas: Canvas, section: Section, view: View) -> None:
    """The keyway asked for, dashed: its two sides from the bore and its floor."""
    half, top = section.keyway.width / 2, section.keyway.top
    start = (section.bore.radius**2 - min(half, section.bore.radius) ** 2) ** 0.5
    outline = view.ring(((-half, start), (-half, top), (half, top), (half, start)))
    canvas.trace(outline, FLOOR, closed=False, dash=2)


def _legend_rows(columns: int) -> int:
    return -(-len(_LEGEND) // max(columns // _LEGEND_WIDTH, 1))


def _write_legend(canvas: Canvas, top: int) -> None:
    a_row = -(-len(_LEGEND) // _legend_rows(canvas.columns))
    for place, (name, word) in enumerate(_LEGEND):
        row, column = top + place // a_row, (place % a_row) * _LEGEND_WIDTH
        corner, far = (column * 2.0, row * 4.0), (column * 2.0 + 4, row * 4.0 + 4)
        canvas.fill([_box(corner, far)], _FILLS[name], name)
        canvas.write(column + 3, row, word, name)


def _write_scale(canvas: Canvas, view: View, row: int, units: Units) -> None:
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


def _box(corner: tuple[float, float], far: tuple[float, float]) -> Ring:
    return (corner, (far[0], corner[1]), far, (corner[0], far[1]))
