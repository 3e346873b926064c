"""A result's sheet on pages of paper: the same lines as on a screen, so many columns wide."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from broachplan.paper.lettering import Font, drawable, loaded, turned
from broachplan.paper.pages import page_size
from broachplan.paper.sheet import PdfPages
from broachplan.sheets.layout import SheetLine, Tone, lay_out
from broachplan.sheets.result import ResultSheet
from broachplan.sheets.wrapping import wrapped

COLUMNS = 96
_RIM, _LEAD, _LARGEST = 40.0, 1.32, 9.0


def sheet_pdf(sheet: ResultSheet, page: str) -> tuple[bytes, int]:
    """The bytes of the PDF, and how many pages it has.

    Raises
    ------
    InputError : there is no such page.
    """
    width, height = page_size(page)
    advance = loaded(Font.TAG)[ord("0")]
    size = min(_LARGEST, (width - 2 * _RIM) / (COLUMNS * advance))
    room = int((height - 2 * _RIM) / (size * _LEAD)) - 2
    pages = list(_pages(_lines(sheet), room))
    paper = PdfPages((width, height), drawable(sheet.title))
    for number, lines in enumerate(pages, 1):
        if number > 1:
            paper.next_page()
        pen, top = paper.pen, height - _RIM
        for place, line in enumerate(lines):
            pen.setFont(Font.TAG.value, size)
            foot = top - (place + 1) * size * _LEAD
            pen.drawString(_RIM, foot, turned(drawable(line.text, Font.TAG)))
            if line.tone in (Tone.HEADING, Tone.TITLES) and line.text:
                pen.setLineWidth(0.4)
                pen.line(_RIM, foot - 2, width - _RIM, foot - 2)
        pen.setFont(Font.WORDS.value, size)
        pen.drawRightString(width - _RIM, _RIM - size * _LEAD, f"page {number} of {len(pages)}")
    return paper.done(), len(pages)


def _lines(sheet: ResultSheet) -> list[SheetLine]:
    title = [SheetLine(text, Tone.HEADING) for text in wrapped(sheet.title, COLUMNS, rest="  ")]
    return [*title, *lay_out(sheet, COLUMNS)]


def _pages(lines: Sequence[SheetLine], room: int) -> Iterator[Sequence[SheetLine]]:
    at = 0
    while at < len(lines):
        end = at + room
        while at + 1 < end < len(lines) and _begins(lines[end - 1]):
            end -= 1
        yield lines[at:end]
        at = end
        while at < len(lines) and not lines[at].text:
            at += 1


def _begins(line: SheetLine) -> bool:
    """Whether a line belongs to those after it: none such is left at the foot of a page."""
    return not line.text or line.tone in (Tone.HEADING, Tone.TITLES)
