"""The small drawing of how a figure is taken, in lines on paper."""

from __future__ import annotations

from broachplan.paper.grids import LabelCell
from broachplan.paper.lettering import Font, loaded
from broachplan.paper.sheet import PdfPages
from broachplan.tooling.seen import Point, Ring
from broachplan.tooling.taking import Taking
from broachplan.tooling.taking_picture import DrawnPart, DrawnShape, taking_picture

_GREYS = {DrawnPart.PIECE: 0.88, DrawnPart.BESIDE: 0.74, DrawnPart.ANVIL: 0.0}
_THIN, _NUMBER = 0.5, 7.0


def draw_taking(sheet: PdfPages, taking: Taking, cell: LabelCell) -> None:
    """Draw one way to take a figure into a cell of the page, as large as it fits, in the middle."""
    picture, pen = taking_picture(taking), sheet.pen
    left, bottom, right, top = picture.around
    scale = min(cell.width / (right - left), cell.height / (top - bottom))
    x = cell.x + (cell.width - (right - left) * scale) / 2
    y = cell.y + (cell.height - (top - bottom) * scale) / 2

    def on_page(point: Point) -> Point:
        return x + (point[0] - left) * scale, y + (point[1] - bottom) * scale

    loaded(Font.WORDS)
    pen.saveState()
    pen.setLineWidth(_THIN)
    for shape in picture.shapes:
        _draw(
            sheet, shape, tuple(map(on_page, shape.ring)), [tuple(map(on_page, hole)) for hole in shape.holes]
        )
    pen.setFillGray(0)
    pen.setFont(Font.WORDS.value, _NUMBER)
    for number, point in picture.numbers:
        across, up = on_page(point)
        pen.drawCentredString(across, up - _NUMBER * 0.36, number)
    pen.restoreState()


def _draw(sheet: PdfPages, shape: DrawnShape, ring: Ring, holes: list[Ring]) -> None:
    pen = sheet.pen
    path = pen.beginPath()
    for each in (ring, *holes):
        path.moveTo(*each[0])
        for point in each[1:]:
            path.lineTo(*point)
        if not shape.line:
            path.close()
    if shape.line:
        pen.setDash(1.5, 1.5)
        pen.drawPath(path, stroke=1, fill=0)
        pen.setDash()
        return
    pen.setFillGray(_GREYS[shape.part])
    # 0: what lies within an odd number of the rings is filled, so that a hole stays white.
    pen.drawPath(path, stroke=1, fill=1, fillMode=0)
