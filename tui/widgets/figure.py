"""Figures and a few words in blocks, to be read at two metres."""

from __future__ import annotations

from typing import NamedTuple

from rich.text import Text
from textual.reactive import reactive
from textual.widget import Widget

# Five rows; our own drawing of the digits, of the signs that a reading needs, and of the letters of the words shown.
_SHAPES = {
    "0": ("####", "#..#", "#..#", "#..#", "####"),
    "1": (".##.", "..#.", "..#.", "..#.", ".###"),
    "2": ("####", "...#", "####", "#...", "####"),
    "3": ("####", "...#", ".###", "...#", "####"),
    "4": ("#..#", "#..#", "####", "...#", "...#"),
    "5": ("####", "#...", "####", "...#", "####"),
    "6": ("####", "#...", "####", "#..#", "####"),
    "7": ("####", "...#", "..#.", ".#..", ".#.."),
    "8": ("####", "#..#", "####", "#..#", "####"),
    "9": ("####", "#..#", "####", "...#", "####"),
    ".": ("..", "..", "..", "..", "##"),
    "-": ("...", "...", "###", "...", "..."),
    " ": ("..", "..", "..", "..", ".."),
    "A": (".##.", "#..#", "####", "#..#", "#..#"),
    "B": ("###.", "#..#", "###.", "#..#", "####"),
    "D": ("###.", "#..#", "#..#", "#..#", "###."),
    "E": ("####", "#...", "###.", "#...", "####"),
    "G": (".###", "#...", "#.##", "#..#", ".###"),
    "H": ("#..#", "#..#", "####", "#..#", "#..#"),
    "I": ("###", ".#.", ".#.", ".#.", "###"),
    "L": ("#...", "#...", "#...", "#...", "####"),
    "M": ("#...#", "##.##", "#.#.#", "#...#", "#...#"),
    "N": ("#..#", "##.#", "#.##", "#..#", "#..#"),
    "O": (".##.", "#..#", "#..#", "#..#", ".##."),
    "P": ("###.", "#..#", "###.", "#...", "#..."),
    "R": ("###.", "#..#", "###.", "#.#.", "#..#"),
    "S": (".###", "#...", ".##.", "...#", "###."),
    "T": ("###", ".#.", ".#.", ".#.", ".#."),
    "U": ("#..#", "#..#", "#..#", "#..#", ".##."),
    "Y": ("#.#", "#.#", ".#.", ".#.", ".#."),
}  # fmt: skip
ROWS = 5


class Size(NamedTuple):
    """Columns and rows of a dot, and columns between two signs."""

    widen: int
    heighten: int
    gap: int


# The largest first. The last is for a long metric reading in half of a small terminal.
SIZES = tuple(
    Size(*each)
    for each in (
        (6, 4, 4), (5, 3, 4), (4, 3, 3), (4, 2, 3), (3, 2, 3), (3, 2, 2), (2, 2, 2), (2, 1, 2), (1, 1, 2), (1, 1, 1),
    )
)  # fmt: skip


def block_lines(figure: str, size: Size = Size(2, 1, 2)) -> list[str]:
    """``figure`` in blocks; signs without a shape are left out."""
    shapes = [_SHAPES[sign] for sign in figure.upper() if sign in _SHAPES]
    lines = []
    for row in range(ROWS):
        signs = ("".join(("█" if dot == "#" else " ") * size.widen for dot in shape[row]) for shape in shapes)
        lines.extend([(" " * size.gap).join(signs)] * size.heighten)
    return lines


def fitting(figure: str, columns: int, rows: int) -> Size | None:
    """The largest size in which a figure fits; None where none does."""
    for size in SIZES:
        if ROWS * size.heighten <= rows and len(block_lines(figure, size)[0]) <= columns:
            return size
    return None


class LargeFigure(Widget):
    """A number or a short word in blocks, as large as the room allows; plain text where there is none.

    ``unit`` is beside the last row where there is room for it.
    """

    value: reactive[str] = reactive("")
    unit: reactive[str] = reactive("")

    def render(self) -> Text:
        """The largest of the sizes that fits."""
        beside = f" {self.unit}" if self.unit else ""
        size = fitting(self.value, self.size.width - len(beside), self.size.height)
        if size is None:
            return Text(f"{self.value}{beside}", no_wrap=True)
        lines = block_lines(self.value, size)
        lines[-1] += beside
        return Text("\n".join(lines), no_wrap=True)
