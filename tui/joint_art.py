"""The section across shaft, key and hub drawn in dots: true to scale, with a legend in words and a scale bar."""

from __future__ import annotations

from broachplan.canvas import SLANTED, SPARSE, UPRIGHT, Canvas, Pattern
from broachplan.cut.joint_picture import JointSection
from broachplan.lengths import Units
from tui.drawing import LEAST_COLUMNS, LEAST_ROWS, DotView, box, paint_block, picture_rows, write_below

HUB, SHAFT, KEY = "hub", "shaft", "key"
_FILLS: dict[str, Pattern] = {HUB: SPARSE, SHAFT: SLANTED, KEY: UPRIGHT}
_LEGEND = ((SHAFT, "shaft"), (KEY, "key"), (HUB, "hub"))


def paint_joint(
    section: JointSection, columns: int, rows: int, units: Units, *, close: bool = False
) -> Canvas:
    """Draw a joint in ``columns`` by ``rows`` cells; ``close`` looks at the key alone."""
    canvas = Canvas(columns, rows)
    if columns < LEAST_COLUMNS or rows < LEAST_ROWS:
        return canvas
    view = _view(section, canvas.width, picture_rows(columns, rows, _LEGEND) * 4, close=close)
    everything = box((0.0, 0.0), (float(canvas.width), float(canvas.height)))
    bore, shaft = view.ring(section.bore), view.ring(section.shaft)
    canvas.fill([everything, bore], _FILLS[HUB], HUB)
    canvas.trace(bore, HUB)
    canvas.fill([shaft], _FILLS[SHAFT], SHAFT)
    canvas.trace(shaft, SHAFT)
    for block in section.key:
        paint_block(canvas, block, view, KEY, _FILLS[KEY])
    write_below(canvas, view, _LEGEND, _FILLS, units)
    return canvas


def _view(section: JointSection, width: int, height: int, *, close: bool) -> DotView:
    radius = section.around.radius
    bottom, top = section.key[0].bottom, max(section.keyway.top, section.key[-1].top)
    if close:
        across = max(block.width for block in (*section.key, section.keyway)) * 1.8
        return DotView.on(across, (top - bottom) * 1.3, (top + bottom) / 2, width, height)
    margin = radius * 0.12
    return DotView.on(2 * (radius + margin), top + radius + 2 * margin, (top - radius) / 2, width, height)
