"""Sheets for a box of tools: how each figure of a kind is taken, and rows of blanks to write what was measured."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from broachplan.paper.grids import LabelCell
from broachplan.paper.lettering import ASCENT, Font, Room, loaded, set_words
from broachplan.paper.pages import page_size
from broachplan.paper.sheet import PdfPages
from broachplan.paper.taking import draw_taking
from broachplan.sheets.taking import how_words
from broachplan.tooling.figures import Figure, Kind, Quantity
from broachplan.tooling.pieces import FIGURES
from broachplan.tooling.taking import Taking

_RIM = 36.0
_COLUMNS, _CARD, _GAP = 4, 118.0, 8.0
_TITLE, _WORDS, _SMALL = 15.0, 8.0, 6.0
_ROW, _HEADS, _LEAST_ROWS = 19.0, 25.0, 6
_TAG, _UNIT = 78.0, 34.0
_UNITS = {
    Quantity.COUNT: "count",
    Quantity.AREA: "in^2 mm^2",
    Quantity.FORCE: "kN or lbf",
    Quantity.LENGTH: "",
}


@dataclass(frozen=True, slots=True)
class _Card:
    """One way to take a figure: its heading, its words, its drawing."""

    heading: str
    words: str
    taking: Taking | None


def blanks_pdf(kinds: Sequence[Kind], page: str) -> tuple[bytes, int]:
    """A page or two for each kind; the bytes of the PDF, and how many pages it has.

    Raises
    ------
    InputError : there is no such page.
    """
    sheet = PdfPages(page_size(page), "Blanks for measured tools")
    loaded(Font.WORDS)
    pages = 0
    for kind in kinds:
        if pages:
            sheet.next_page()
        pages += _kind(sheet, kind, page_size(page))
    return sheet.done(), pages


def _kind(sheet: PdfPages, kind: Kind, size: tuple[float, float]) -> int:
    """The pages of a kind: the cards, and blanks below them or on the next page; how many it took."""
    width, height = size[0] - 2 * _RIM, size[1] - 2 * _RIM
    top = _RIM + height
    cards = list(_cards(FIGURES[kind]))
    top = _heading(sheet, kind, top, width)
    card_width = (width - (_COLUMNS - 1) * _GAP) / _COLUMNS
    for place, card in enumerate(cards):
        row, column = divmod(place, _COLUMNS)
        foot = top - (row + 1) * (_CARD + _GAP) + _GAP
        _draw_card(sheet, card, LabelCell(_RIM + column * (card_width + _GAP), foot, card_width, _CARD))
    rows = -(-len(cards) // _COLUMNS)
    top -= rows * (_CARD + _GAP)
    pages = 1
    if (top - _RIM) / _ROW < _LEAST_ROWS + 2:
        sheet.next_page()
        pages, top = 2, _heading(sheet, kind, _RIM + height, width)
    _blanks(sheet, FIGURES[kind], top, width)
    return pages


def _cards(figures: Iterable[Figure]) -> Iterable[_Card]:
    for figure in figures:
        star = " *" if figure.needed else ""
        yield _Card(f"{figure.label}{star}", how_words(figure), figure.taken)
        if figure.or_taken is not None:
            yield _Card(f"{figure.label}: another way", how_words(figure, 1), figure.or_taken)


def _heading(sheet: PdfPages, kind: Kind, top: float, width: float) -> float:
    pen = sheet.pen
    pen.setFont(Font.WORDS.value, _TITLE)
    pen.drawString(_RIM, top - _TITLE, f"{kind.plural.capitalize()}")
    pen.setFont(Font.WORDS.value, _WORDS)
    pen.drawRightString(
        _RIM + width, top - _TITLE, "* no plan can do without it.   The numbers are where to touch."
    )
    pen.drawString(
        _RIM,
        top - _TITLE - 13,
        "Box or set ____________________   Measured with ____________________   By ______________   On ____________",
    )
    return top - _TITLE - 24


def _draw_card(sheet: PdfPages, card: _Card, cell: LabelCell) -> None:
    pen = sheet.pen
    pen.setLineWidth(0.3)
    pen.setStrokeGray(0.6)
    pen.rect(*cell, stroke=1, fill=0)
    pen.setStrokeGray(0)
    inner = cell.width - 8
    top = cell.y + cell.height - 3
    top -= _set(sheet, card.heading, Room(inner, 12, 9, _SMALL), cell.x + 4, top)
    words = Room(inner, cell.height * 0.42, 6.5, 4.5)
    top -= _set(sheet, card.words, words, cell.x + 4, top - 2)
    if card.taking is not None:
        draw_taking(sheet, card.taking, LabelCell(cell.x + 6, cell.y + 6, cell.width - 12, top - cell.y - 12))


def _set(sheet: PdfPages, text: str, room: Room, x: float, top: float) -> float:
    """Set words from ``top`` down; how high they are."""
    block = set_words(text, room)
    sheet.pen.setFont(Font.WORDS.value, block.size)
    for place, line in enumerate(block.lines):
        sheet.pen.drawString(x, top - (ASCENT + block.spread * place) * block.size, line)
    return block.height


def _blanks(sheet: PdfPages, figures: Sequence[Figure], top: float, width: float) -> None:
    """A table as high as the page leaves room for: tag, a column for each figure, the unit that was read."""
    pen = sheet.pen
    each = (width - _TAG - _UNIT) / len(figures)
    edges = [
        _RIM,
        _RIM + _TAG,
        *(_RIM + _TAG + each * (place + 1) for place in range(len(figures))),
        _RIM + width,
    ]
    heads = [
        "tag",
        *(f"{one.label}{' *' if one.needed else ''} {_UNITS[one.quantity]}" for one in figures),
        "in or mm",
    ]
    rows = int((top - _HEADS - _RIM) / _ROW) + 1
    for left, right, head in zip(edges, edges[1:], heads, strict=False):
        _set(sheet, head, Room(right - left - 4, _HEADS - 2, 7, 3.5), left + 2, top)
    foot = top - _HEADS - (rows - 1) * _ROW
    pen.setLineWidth(0.4)
    for row in range(rows):
        y = top - _HEADS - row * _ROW
        pen.line(_RIM, y, _RIM + width, y)
    for x in edges:
        pen.line(x, top - _HEADS, x, foot)
