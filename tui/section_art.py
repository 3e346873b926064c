"""The section of a pass drawn in dots: true to scale, with a legend in words and a scale bar."""

from __future__ import annotations

from broachplan.canvas import CHECKED, LINED, SLANTED, SOLID, SPARSE, UPRIGHT, Canvas, Pattern
from broachplan.cut.picture import Rectangle, SectionPicture
from broachplan.lengths import NM_PER_MM, Length, Units, show
from broachplan.sheets.sizes import gauge_units
from tui.drawing import LEAST_COLUMNS, LEAST_ROWS, DotView, box, paint_block, picture_rows, write_below

HUB, BUSHING, SHIMS, BROACH, BEFORE, CUT = "hub", "bushing", "shims", "broach", "before", "cut"
FLOOR, T = "floor", "t"

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


def paint(section: SectionPicture, columns: int, rows: int, units: Units, *, close: bool = False) -> Canvas:
    """Draw one pass in ``columns`` by ``rows`` cells; ``close`` looks at the keyway alone."""
    canvas = Canvas(columns, rows)
    if columns < LEAST_COLUMNS or rows < LEAST_ROWS:
        return canvas
    view = _view(section, canvas.width, picture_rows(columns, rows, _LEGEND) * 4, close=close)
    _paint_pieces(canvas, section, view)
    _paint_t(canvas, section, view, picture_rows(columns, rows, _LEGEND), units)
    write_below(canvas, view, _LEGEND, _FILLS, units)
    return canvas


def _view(section: SectionPicture, width: int, height: int, *, close: bool) -> DotView:
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
    return DotView.on(across, tall, middle, width, height)


def _paint_pieces(canvas: Canvas, section: SectionPicture, view: DotView) -> None:
    bore, bushing = view.ring(section.bore.ring()), view.ring(section.bushing_outline)
    everything = box((0.0, 0.0), (float(canvas.width), float(canvas.height)))
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


def _paint_t(canvas: Canvas, section: SectionPicture, view: DotView, rows: int, units: Units) -> None:
    """T of this pass as an arrow from the far wall to the floor, with its figure; none before the floor is past the bore."""
    wall, floor = -section.bore.radius, section.teeth.top
    if floor <= section.bore.radius:
        return
    (x, low), (_, high) = view.ring(((0.0, wall), (0.0, floor)))
    low = min(low, rows * 4.0 - 1)
    # Two dots wide with a gap on either side: one alone looks like the pattern of the broach.
    canvas.clear([box((x - 3, high), (x + 3, low))])
    for side in (-1, 0):
        canvas.trace(((x + side, high), (x + side, low)), T, closed=False)
    for tip, back in ((high, 3), *([(low, -3)] if low < rows * 4.0 - 1 else [])):
        canvas.trace(((x - 3, tip + back), (x, tip), (x + 3, tip + back)), T, closed=False)
    figure = f" T {show(Length(round((floor - wall) * NM_PER_MM)), gauge_units(units))} "
    canvas.write(int(x) // 2 + 2, int(high + (low - high) * 0.75) // 4, figure, T)


def _paint_block(canvas: Canvas, block: Rectangle, view: DotView, name: str) -> None:
    paint_block(canvas, block, view, name, _FILLS[name])


def _paint_keyway(canvas: Canvas, section: SectionPicture, view: DotView) -> None:
    """The keyway asked for, dashed: its two sides from the bore and its floor."""
    half, top = section.keyway.width / 2, section.keyway.top
    start = (section.bore.radius**2 - min(half, section.bore.radius) ** 2) ** 0.5
    outline = view.ring(((-half, start), (-half, top), (half, top), (half, start)))
    canvas.trace(outline, FLOOR, closed=False, dash=2)
