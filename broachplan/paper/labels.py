"""Labels for pieces: a QR code of the tag, and beside it the tag, the size in words, and home and set."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from broachplan.crib.records import Record
from broachplan.lengths import Length, Units
from broachplan.paper.grids import Grid, LabelCell
from broachplan.paper.lettering import ASCENT, TIED, Block, Font, Room, set_tag, set_words, turned
from broachplan.paper.pages import points
from broachplan.paper.qr import BORDER, Code, code_of
from broachplan.paper.sheet import PdfPages
from broachplan.paper.size_words import size_in_words

# Office printers lay a sheet to about a millimetre and leave the page's rim white: common practice, no source.
_DRIFT = Length.mm("1.5")
_RIM = Length.mm("4.25")
# Whole dots of 1/300 in, so that a printer draws every module equally wide.
_DOT = 72 / 300
# A larger module is no easier to scan.
_LARGEST_MODULE = 10 * _DOT
_CODE_SHARE = 0.45
_LEAST = 5.0
_LARGEST_TAG = 30.0
_GAP = 0.06
_BETWEEN, _SHORT = " · ", 16
_FONTS = (Font.TAG, Font.WORDS, Font.WORDS)
_FIGURE = re.compile(r"(?<=slot|wall) (?=\d)|(?<=\d) (?=(?:in|mm|lbf|kN)\b)")
Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Label:
    """The text of a label. The tag is one that `checked_tag` accepts."""

    tag: str
    size: str
    where: str


@dataclass(frozen=True, slots=True)
class LabelLine:
    """A line of a label: where its first letter is, in points from the label's lower left corner."""

    x: float
    y: float
    text: str
    font: Font
    size: float


@dataclass(frozen=True, slots=True)
class Layout:
    """A label laid out in its cell: the code's lower left corner and its module, and the lines beside it."""

    code: Code
    code_x: float
    code_y: float
    module: float
    lines: tuple[LabelLine, ...]


def label_of(record: Record, units: Units) -> Label:
    """The label of a piece; ``units`` is how the shop shows lengths."""
    where = _BETWEEN.join(words for words in (record.home, record.set_name) if words)
    return Label(record.piece.tag, size_in_words(record.piece, units), where)


def labels_pdf(
    labels: Sequence[Label], grid: Grid, start: int = 1, progress: Progress | None = None
) -> tuple[bytes, int]:
    """The labels on sheets of a grid; the bytes of the PDF, and how many pages it has.

    Parameters
    ----------
    labels : one or more.
    start : the label of the first sheet to begin with, from 1 along the rows.
    progress : called after each label with how many are done, and of how many.
    """
    sheet = PdfPages(grid.page_size, f"Labels, {grid.name}")
    pages = 1
    for number, label in enumerate(labels):
        page, place = divmod(start - 1 + number, grid.labels)
        if page == pages:
            sheet.next_page()
            pages += 1
        _draw(sheet, lay_out(label, grid), grid.cell(place))
        if progress is not None:
            progress(number + 1, len(labels))
    return sheet.done(), pages


def lay_out(label: Label, grid: Grid) -> Layout:
    """The place of everything on a label; the white border of the code lies within the label, the words beyond it."""
    frame = _frame(grid)
    code = code_of(label.tag)
    module = _module(code.side, frame)
    dark, border = module * code.side, module * BORDER
    code_x = max(border, frame.inset_x)
    text_x = code_x + dark + border
    lines = _lines(label, text_x, frame.width - frame.inset_x - text_x, frame)
    return Layout(code, code_x, (frame.height - dark) / 2, module, lines)


@dataclass(frozen=True, slots=True)
class _Frame:
    """A label's size, and how far its print keeps off its edges, in points."""

    width: float
    height: float
    inset_x: float
    inset_y: float


@cache
def _frame(grid: Grid) -> _Frame:
    right, bottom = grid.edges
    return _Frame(
        points(grid.label_width),
        points(grid.label_height),
        points(max(_DRIFT, _RIM - min(grid.left, right))),
        points(max(_DRIFT, _RIM - min(grid.top, bottom))),
    )


def _module(side: int, frame: _Frame) -> float:
    """The largest module with which code and border fit into the label and leave words their share of it."""
    share = frame.width * _CODE_SHARE
    largest = min(
        _LARGEST_MODULE,
        frame.height / (side + 2 * BORDER),
        (frame.height - 2 * frame.inset_y) / side,
        share / (side + 2 * BORDER),
        (share - frame.inset_x) / (side + BORDER),
    )
    return int(largest / _DOT) * _DOT


def _lines(label: Label, x: float, width: float, frame: _Frame) -> tuple[LabelLine, ...]:
    """Tag, size and place one under the other, in the middle of the label's height."""
    height = frame.height - 2 * frame.inset_y
    gap = height * _GAP
    where = set_words(
        _parts_kept(label.where), Room(width, height * 0.25, min(max(height * 0.12, 5.5), 9), _LEAST)
    )
    left = height - (where.height + gap if where.lines else 0)
    tag = set_tag(label.tag, Room(width, left * 0.6, _LARGEST_TAG, _LEAST))
    left -= tag.height + gap
    largest = min(max(tag.size * 0.75, 11), tag.size)
    size = set_words(_FIGURE.sub(TIED, label.size), Room(width, left, largest, _LEAST))
    blocks = [(block, font) for block, font in zip((tag, size, where), _FONTS, strict=True) if block.lines]
    top = (frame.height + sum(block.height for block, _ in blocks) + gap * (len(blocks) - 1)) / 2
    lines: list[LabelLine] = []
    for block, font in blocks:
        lines += _set(block, font, x, top)
        top -= block.height + gap
    return tuple(lines)


def _parts_kept(where: str) -> str:
    """Home and set on a line each rather than broken, where they are short."""
    parts = where.split(_BETWEEN)
    return _BETWEEN.join(part.replace(" ", TIED) if len(part) <= _SHORT else part for part in parts)


def _set(block: Block, font: Font, x: float, top: float) -> Iterator[LabelLine]:
    for place, text in enumerate(block.lines):
        y = top - (ASCENT + block.spread * place) * block.size
        yield LabelLine(x, y, text, font, block.size)


def _draw(sheet: PdfPages, layout: Layout, cell: LabelCell) -> None:
    pen = sheet.pen
    pen.saveState()
    _clip(sheet, cell)
    # One path, so that no hairline shows between modules.
    path = pen.beginPath()
    head = cell.y + layout.code_y + layout.code.side * layout.module
    for run in layout.code.runs:
        path.rect(
            cell.x + layout.code_x + run.column * layout.module,
            head - (run.row + 1) * layout.module,
            run.length * layout.module,
            layout.module,
        )
    pen.drawPath(path, stroke=0, fill=1)
    for line in layout.lines:
        pen.setFont(line.font.value, line.size)
        pen.drawString(cell.x + line.x, cell.y + line.y, turned(line.text))
    pen.restoreState()


def _clip(sheet: PdfPages, cell: LabelCell) -> None:
    """Nothing is drawn outside of the label, whatever marks a script piles up over its letters."""
    path = sheet.pen.beginPath()
    path.rect(*cell)
    sheet.pen.clipPath(path, stroke=0, fill=0)
