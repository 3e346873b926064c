"""A small canvas of braille dots: two across and four down in every cell, so that a dot is about square."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

Point = tuple[float, float]
Ring = Sequence[Point]

# Bit of the dot at (column, row) within a cell, after Unicode's block "Braille Patterns".
_BITS = ((0x01, 0x02, 0x04, 0x40), (0x08, 0x10, 0x20, 0x80))
_BLANK = 0x2800


@dataclass(frozen=True, slots=True)
class Pattern:
    """A repeating tile of dots; ``#`` is a dot."""

    tile: tuple[str, ...]

    def at(self, x: int, y: int) -> bool:
        """Whether the tile has a dot at this place."""
        row = self.tile[y % len(self.tile)]
        return row[x % len(row)] == "#"


SOLID = Pattern(("#",))
CHECKED = Pattern(("#.", ".#"))
SPARSE = Pattern(("#...", "....", "..#.", "...."))
SLANTED = Pattern(("#...", ".#..", "..#.", "...#"))
LINED = Pattern(("#", "."))
UPRIGHT = Pattern(("#.",))


@dataclass(frozen=True, slots=True)
class Cell:
    """One character and the name of what it shows; empty where nothing is drawn."""

    character: str = " "
    name: str = ""


class Blocks(NamedTuple):
    """What a cell is drawn with where a font has no braille: a character by the name of the area or the line in it."""

    areas: Mapping[str, str]
    lines: Mapping[str, str]


class Canvas:
    """``columns`` by ``rows`` cells. Dots count from the top left; what is drawn later covers what was there."""

    def __init__(self, columns: int, rows: int) -> None:
        self.columns = max(columns, 0)
        self.rows = max(rows, 0)
        self.width = self.columns * 2
        self.height = self.rows * 4
        self._dots = [0] * (self.columns * self.rows)
        self._names = [""] * (self.columns * self.rows)
        # What covers the middle of each cell, whatever its pattern.
        self._areas = [""] * (self.columns * self.rows)
        self._words: dict[int, Cell] = {}

    def dot(self, x: int, y: int, name: str) -> None:
        """Set one dot; a dot beyond the canvas is left off."""
        if 0 <= x < self.width and 0 <= y < self.height:
            place = (y // 4) * self.columns + x // 2
            self._dots[place] |= _BITS[x % 2][y % 4]
            self._names[place] = name

    def has(self, x: int, y: int) -> bool:
        """Whether a dot is set."""
        inside = 0 <= x < self.width and 0 <= y < self.height
        return inside and bool(self._dots[(y // 4) * self.columns + x // 2] & _BITS[x % 2][y % 4])

    def fill(self, rings: Iterable[Ring], pattern: Pattern, name: str) -> None:
        """Fill what lies within an odd number of the rings, after clearing it."""
        for y, first, last in self._spans(rings):
            for x in range(first, last):
                self._clear(x, y, name)
                if pattern.at(x, y):
                    self.dot(x, y, name)

    def clear(self, rings: Iterable[Ring]) -> None:
        """Take away every dot within the rings."""
        for y, first, last in self._spans(rings):
            for x in range(first, last):
                self._clear(x, y)

    def trace(self, ring: Ring, name: str, *, closed: bool = True, dash: int = 0) -> None:
        """Draw along a ring; with ``dash``, that many dots on and as many off."""
        points = [*ring, ring[0]] if closed else list(ring)
        drawn = 0
        for (x0, y0), (x1, y1) in pairwise(points):
            steps = max(1, min(round(max(abs(x1 - x0), abs(y1 - y0))), 4 * (self.width + self.height)))
            for step in range(steps):
                share = step / steps
                if not dash or (drawn // dash) % 2 == 0:
                    self.dot(int(x0 + (x1 - x0) * share), int(y0 + (y1 - y0) * share), name)
                drawn += 1

    def write(self, column: int, row: int, text: str, name: str) -> None:
        """Lay words over the dots; what does not fit is left off."""
        for offset, character in enumerate(text):
            if 0 <= column + offset < self.columns and 0 <= row < self.rows:
                self._words[row * self.columns + column + offset] = Cell(character, name)

    def lines(self, blocks: Blocks | None = None) -> list[list[Cell]]:
        """The picture, row by row: in dots, or in the characters of ``blocks``."""
        cells = [self._cell(place, blocks) for place in range(self.columns * self.rows)]
        return [cells[row * self.columns : (row + 1) * self.columns] for row in range(self.rows)]

    def text(self) -> str:
        """The picture as plain text."""
        return "\n".join("".join(cell.character for cell in row).rstrip() for row in self.lines())

    def _cell(self, place: int, blocks: Blocks | None) -> Cell:
        if place in self._words:
            return self._words[place]
        if blocks is not None:
            name = self._names[place] if self._dots[place] else ""
            if name not in blocks.lines:
                name = self._areas[place]
            return Cell(blocks.lines.get(name) or blocks.areas.get(name, " "), name)
        dots = self._dots[place]
        return Cell(chr(_BLANK + dots), self._names[place]) if dots else Cell()

    def _clear(self, x: int, y: int, name: str = "") -> None:
        place = (y // 4) * self.columns + x // 2
        if (x % 2, y % 4) == (1, 2):
            self._areas[place] = name
        self._dots[place] &= ~_BITS[x % 2][y % 4]

    def _spans(self, rings: Iterable[Ring]) -> Iterator[tuple[int, int, int]]:
        """Runs of dots whose centres lie inside, as (y, first x, one past the last x)."""
        crossings: dict[int, list[float]] = {}
        for ring in rings:
            for (x0, y0), (x1, y1) in zip(ring, (*ring[1:], ring[0]), strict=True):
                if y0 > y1:
                    x0, y0, x1, y1 = x1, y1, x0, y0
                first, last = max(_ceil(y0 - 0.5), 0), min(_ceil(y1 - 0.5), self.height)
                for y in range(first, last):
                    crossings.setdefault(y, []).append(x0 + (x1 - x0) * (y + 0.5 - y0) / (y1 - y0))
        for y, found in sorted(crossings.items()):
            found.sort()
            for left, right in zip(found[::2], found[1::2], strict=False):
                first, last = max(_ceil(left - 0.5), 0), min(_ceil(right - 0.5), self.width)
                if first < last:
                    yield y, first, last


def _ceil(value: float) -> int:
    return -int(-value // 1)
