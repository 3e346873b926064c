"""Drawn pages as files: an SVG with its text kept as text, and a PDF with the fonts inside."""

from __future__ import annotations

from collections.abc import Sequence
from xml.sax.saxutils import escape

from broachplan.paper.drawn_page import Blackened, DrawnPage, Mark, Stroke
from broachplan.paper.lettering import Font, loaded, turned
from broachplan.paper.piece_drawing import Point
from broachplan.paper.sheet import PdfPages

_POINTS_PER_INCH = 72


def drawing_svg(pages: Sequence[DrawnPage]) -> bytes:
    """The pages one under the other, as large as on paper."""
    width, height = max(page.width for page in pages), sum(page.height for page in pages)
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_number(width / _POINTS_PER_INCH)}in" '
        f'height="{_number(height / _POINTS_PER_INCH)}in" viewBox="0 0 {_number(width)} {_number(height)}">',
        f"<title>{escape(', '.join(page.title for page in pages))}</title>",
        f'<rect width="{_number(width)}" height="{_number(height)}" fill="white"/>',
        '<g font-family="\'DejaVu Sans\', sans-serif" fill="black" stroke-linejoin="round">',
    ]
    top = 0.0
    for page in pages:
        lines += [_svg(mark, top + page.height) for mark in page.marks]
        top += page.height
    return "\n".join([*lines, "</g>", "</svg>", ""]).encode()


def drawing_pdf(pages: Sequence[DrawnPage], title: str) -> bytes:
    """A page for each."""
    sheet = PdfPages((pages[0].width, pages[0].height), title)
    loaded(Font.WORDS)
    for number, page in enumerate(pages):
        if number:
            sheet.next_page()
        for mark in page.marks:
            _on_paper(sheet, mark)
    return sheet.done()


def _svg(mark: Mark, foot: float) -> str:
    """One mark; ``foot`` is where the page ends, from the top of the file."""
    if isinstance(mark, Stroke | Blackened):
        shape = "polygon" if isinstance(mark, Blackened) or mark.closed else "polyline"
        points = " ".join(f"{_number(point.x)},{_number(foot - point.y)}" for point in mark.points)
        if isinstance(mark, Blackened):
            return f'<{shape} points="{points}"/>'
        dashes = f' stroke-dasharray="{" ".join(map(_number, mark.dashes))}"' if mark.dashes else ""
        width = _number(mark.width)
        return f'<{shape} points="{points}" fill="none" stroke="black" stroke-width="{width}"{dashes}/>'
    x, y = _number(mark.at.x), _number(foot - mark.at.y)
    return f'<text x="{x}" y="{y}" font-size="{_number(mark.size)}">{escape(mark.text)}</text>'


def _on_paper(sheet: PdfPages, mark: Mark) -> None:
    pen = sheet.pen
    if isinstance(mark, Blackened):
        pen.drawPath(_path(sheet, mark.points, closed=True), stroke=0, fill=1)
    elif isinstance(mark, Stroke):
        pen.setLineWidth(mark.width)
        pen.setLineJoin(1)
        pen.setDash(list(mark.dashes))
        pen.drawPath(_path(sheet, mark.points, closed=mark.closed), stroke=1, fill=0)
    else:
        pen.setFont(Font.WORDS.value, mark.size)
        pen.drawString(mark.at.x, mark.at.y, turned(mark.text))


def _path(sheet: PdfPages, points: Sequence[Point], *, closed: bool) -> object:
    path = sheet.pen.beginPath()
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)
    if closed:
        path.close()
    return path


def _number(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")
