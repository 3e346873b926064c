"""Pages of a PDF as pictures, and what a scanner reads on them."""

from __future__ import annotations

import pypdfium2
import zxingcpp
from PIL import Image, ImageDraw

from broachplan.paper.grids import Grid, LabelCell
from broachplan.paper.pages import POINTS_PER_INCH

DOTS_PER_INCH = 150
SCALE = DOTS_PER_INCH / POINTS_PER_INCH


def pictures(pdf: bytes) -> list[Image.Image]:
    """Every page in greys."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        return [page.render(scale=SCALE, grayscale=True).to_pil() for page in document]
    finally:
        document.close()


def box_of(cell: LabelCell, page: Image.Image, inset: float = 0.0) -> tuple[int, int, int, int]:
    """Where a cell, or what lies ``inset`` points within it, is in a picture."""
    left, right = cell.x + inset, cell.x + cell.width - inset
    foot, top = cell.y + inset, cell.y + cell.height - inset
    return (
        round(left * SCALE),
        round(page.height - top * SCALE),
        round(right * SCALE),
        round(page.height - foot * SCALE),
    )


def scanned(page: Image.Image, grid: Grid, places: int) -> list[str]:
    """What a scanner held at each of the first labels of a page reads; empty where it reads nothing."""
    found = []
    for place in range(places):
        codes = zxingcpp.read_barcodes(
            page.crop(box_of(grid.cell(place), page)), text_mode=zxingcpp.TextMode.Plain
        )
        found.append(codes[0].text if len(codes) == 1 else "")
    return found


def darkest_outside(page: Image.Image, grid: Grid, inset: float) -> int:
    """The darkest grey outside of what lies ``inset`` points within the labels; 255 where all is white."""
    rest = page.copy()
    pen = ImageDraw.Draw(rest)
    for place in range(grid.labels):
        left, top, right, foot = box_of(grid.cell(place), page, inset)
        pen.rectangle((left, top, right - 1, foot - 1), fill=255)
    return int(rest.getextrema()[0])
