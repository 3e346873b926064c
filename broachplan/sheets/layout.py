"""A sheet as lines of a width: with room the long names, both units and a blank line between blocks, else the short ones."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from enum import StrEnum
from typing import NamedTuple

from broachplan.sheets.grid import fitted, with_unit
from broachplan.sheets.result import MEMORY, NamedValue, ResultSheet, Sentence, SheetBlock, SheetGrid
from broachplan.sheets.table import table_lines
from broachplan.sheets.wrapping import wrapped

ROOMY = 60
_SHORT_LABEL = 10


class Tone(StrEnum):
    """How a line is emphasised where the face has more than letters."""

    PLAIN = "plain"
    WARNING = "warning"
    HEADING = "heading"
    TITLES = "titles"


class SheetLine(NamedTuple):
    """One line of a sheet that is laid out."""

    text: str
    tone: Tone = Tone.PLAIN


def lay_out(sheet: ResultSheet, width: int) -> list[SheetLine]:
    """Everything below the title, in lines of at most ``width``."""
    return list(_Layout(sheet, width).lines())


class _Layout:
    """One sheet at one width."""

    def __init__(self, sheet: ResultSheet, width: int) -> None:
        self.sheet = sheet
        self.width = max(width, 20)
        self.roomy = width >= ROOMY
        self.indent = "  " if self.roomy else " "
        lines = (line for block in sheet.blocks for line in block.lines)
        self.label = self._label_width(lines)

    def lines(self) -> Iterator[SheetLine]:
        sheet = self.sheet
        yield from self._wrapped(sheet.caution, Tone.WARNING)
        if sheet.from_memory:
            yield from self._wrapped(f"{sheet.from_memory.upper()} FROM MEMORY: see below", Tone.WARNING)
        for block in filter(any, sheet.blocks):
            yield from self._blank()
            yield from self._block(block)
        if sheet.source:
            yield from self._blank()
            status = f"; {sheet.from_memory} from memory" if sheet.from_memory else ""
            yield from self._wrapped(f"Source: {sheet.source}{status}")
        for remark in sheet.remarks:
            yield from self._wrapped(f"Note: {remark}")

    def _label_width(self, lines: Iterable[object]) -> int:
        """Labels as wide as the longest; of long names, where there are no short ones, no wider than its block's."""
        values = [line for line in lines if isinstance(line, NamedValue)]
        if self.roomy:
            return max((len(value.label) for value in values), default=0) + 2
        longest = max((len(value.short or value.label) for value in values), default=0)
        return min(longest + 1, self.width * 3 // 5)

    def _blank(self) -> Iterator[SheetLine]:
        if self.roomy:
            yield SheetLine("")

    def _block(self, block: SheetBlock) -> Iterator[SheetLine]:
        heading = block.heading if self.roomy else block.short or block.heading
        yield from self._wrapped(heading + _marked(block.status), Tone.HEADING)
        if not self.roomy:
            self.label = max(_SHORT_LABEL + 1, self._label_width(block.lines))
        for line in block.lines:
            if isinstance(line, NamedValue):
                yield from self._named(line)
            elif isinstance(line, Sentence):
                first = self.indent + line.mark
                yield from self._wrapped(line.text, first=first, rest=" " * len(first))
            else:
                yield from self._grid(line)

    def _named(self, named: NamedValue) -> Iterator[SheetLine]:
        mark = _marked(named.status)
        if self.roomy:
            other = f" ({named.other})" if named.other else ""
            yield from self._row(named.label, named.value + other + mark)
            if named.limits:
                yield from self._row("limits", named.limits)
            return
        label = named.short or named.label
        both = f"{_unit_once(named.value, named.limits)}, {named.limits}{mark}"
        if not named.limits:
            yield from self._row(label, named.value + mark)
        elif len(self.indent) + self.label + len(both) <= self.width:
            yield from self._row(label, both)
        else:
            yield from self._row(label, named.value)
            yield from self._row("", named.limits + mark)

    def _row(self, label: str, value: str) -> Iterator[SheetLine]:
        rest = " " * (len(self.indent) + self.label)
        room = self.label if len(label) < self.label else len(label) + 1
        yield from self._wrapped(value, first=f"{self.indent}{label:{room}}", rest=rest)

    def _grid(self, grid: SheetGrid) -> Iterator[SheetLine]:
        shrinks = any(column.least is not None for column in grid.columns)
        fitting = [*table_lines(grid.columns, grid.rows, self.width)] if shrinks else fitted(grid, self.width)
        if fitting:
            yield SheetLine(fitting[0], Tone.TITLES)
            yield from map(SheetLine, fitting[1:])
            return
        for cells in grid.rows:
            yield from self._wrapped(cells[0], Tone.HEADING)
            for column, cell in zip(grid.columns[1:], cells[1:], strict=True):
                if cell:
                    yield from self._row(column.short or column.title, with_unit(grid, column, cell))

    def _wrapped(
        self, text: str, tone: Tone = Tone.PLAIN, first: str = "", rest: str = "  "
    ) -> Iterator[SheetLine]:
        yield from (SheetLine(line, tone) for line in wrapped(text, self.width, first, rest))


def _marked(status: str) -> str:
    """The mark behind what rests on memory."""
    return " (from memory)" if status == MEMORY else ""


def _unit_once(size: str, limits: str) -> str:
    """A size without its unit, where the limits behind it have the same."""
    number, _, unit = size.rpartition(" ")
    return number if limits.endswith(f" {unit}") else size
