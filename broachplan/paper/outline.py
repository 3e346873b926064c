"""A page of outlines, printed on plain paper before labels: whether the printer keeps the size, and where labels lie."""

from __future__ import annotations

from collections.abc import Iterable

from broachplan.lengths import Length
from broachplan.paper.grids import Grid, LabelCell, grid_in_words
from broachplan.paper.lettering import Font, loaded
from broachplan.paper.pages import points
from broachplan.paper.sheet import PdfPages

_THIN, _RULE = 0.4, 0.9
_TICK = 5.0
_SMALL = 8
_ACROSS, _UP = Length.mm(100), Length.inches(4)
_ADVICE = (
    "Print this page on plain paper at actual size (100 %), not fitted.",
    "The line below must measure 100 mm, the upright one 4 in.",
    "Hold it behind a sheet of labels against the light: the outlines must agree.",
)


def outline_pdf(grid: Grid) -> bytes:
    """One page with the outline and number of every label of a grid, a ruler across and one upright."""
    sheet = PdfPages(grid.page_size, f"Outlines, {grid.name}")
    loaded(Font.WORDS)
    _outlines(sheet, grid)
    _numbers(sheet, grid, _panel(sheet, grid))
    return sheet.done()


def _outlines(sheet: PdfPages, grid: Grid) -> None:
    pen = sheet.pen
    pen.setLineWidth(_THIN)
    for place in range(grid.labels):
        pen.rect(*grid.cell(place), stroke=1, fill=0)


def _numbers(sheet: PdfPages, grid: Grid, white: Iterable[LabelCell]) -> None:
    """The number of each label, where nothing else is written."""
    sheet.pen.setFont(Font.WORDS.value, _SMALL)
    for place in range(grid.labels):
        cell = grid.cell(place)
        number = LabelCell(cell.x + 6, cell.y + cell.height - 14, 2 * _SMALL, _SMALL)
        if not any(_meet(number, each) for each in white):
            sheet.pen.drawString(number.x, number.y, str(place + 1))


def _meet(one: LabelCell, other: LabelCell) -> bool:
    return (
        one.x < other.x + other.width
        and other.x < one.x + one.width
        and one.y < other.y + other.height
        and other.y < one.y + one.height
    )


def _panel(sheet: PdfPages, grid: Grid) -> tuple[LabelCell, LabelCell]:
    """Words and rulers on white about the middle of the page, so that no outline runs through them; where it is white."""
    pen = sheet.pen
    across, up = points(_ACROSS), points(_UP)
    left, top = (grid.page_size[0] - across - 50) / 2, (grid.page_size[1] + up) / 2
    white = LabelCell(left, top - 100, across + 50, 110), LabelCell(left, top - up - 10, 24, up + 20)
    pen.setFillGray(1)
    for cell in white:
        pen.rect(*cell, stroke=0, fill=1)
    pen.setFillGray(0)
    pen.setLineWidth(_RULE)
    _ruler(sheet, left + 12, top - up, 0, up)
    _ruler(sheet, left + 36, top - 88, across, 0)
    pen.setFont(Font.WORDS.value, 14)
    pen.drawString(left + 36, top - 12, grid.name)
    pen.setFont(Font.WORDS.value, _SMALL)
    for line, text in enumerate((grid_in_words(grid), *_ADVICE)):
        pen.drawString(left + 36, top - 28 - 13 * line, text)
    return white


def _ruler(sheet: PdfPages, x: float, y: float, across: float, up: float) -> None:
    """A line with a tick at either end."""
    pen = sheet.pen
    pen.line(x, y, x + across, y + up)
    tick_x, tick_y = (_TICK, 0.0) if up else (0.0, _TICK)
    for end_x, end_y in ((x, y), (x + across, y + up)):
        pen.line(end_x - tick_x, end_y - tick_y, end_x + tick_x, end_y + tick_y)
