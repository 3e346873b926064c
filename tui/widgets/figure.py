"""A figure to be read at arm's length."""

from __future__ import annotations

from rich.text import Text
from textual.reactive import reactive
from textual.widget import Widget

# Five rows of three; our own drawing of the ten digits and the signs that a reading needs.
_SHAPES = {
    "0": ("###", "#.#", "#.#", "#.#", "###"),
    "1": (".#.", "##.", ".#.", ".#.", "###"),
    "2": ("###", "..#", "###", "#..", "###"),
    "3": ("###", "..#", ".##", "..#", "###"),
    "4": ("#.#", "#.#", "###", "..#", "..#"),
    "5": ("###", "#..", "###", "..#", "###"),
    "6": ("###", "#..", "###", "#.#", "###"),
    "7": ("###", "..#", "..#", ".#.", ".#."),
    "8": ("###", "#.#", "###", "#.#", "###"),
    "9": ("###", "#.#", "###", "..#", "###"),
    "-": ("...", "...", "###", "...", "..."),
    ".": (".", ".", ".", ".", "#"),
}  # fmt: skip
ROWS = 5


def block_lines(figure: str, widen: int = 2, heighten: int = 1) -> list[str]:
    """``figure`` in blocks: each dot ``widen`` columns by ``heighten`` rows; signs without a shape are left out."""
    shapes = [_SHAPES[sign] for sign in figure if sign in _SHAPES]
    lines = []
    for row in range(ROWS):
        dots = ".".join(shape[row] for shape in shapes)
        line = "".join(("█" if dot == "#" else " ") * widen for dot in dots)
        lines.extend([line] * heighten)
    return lines


class Figure(Widget):
    """A number in blocks with its unit beside it, as large as the room allows; plain text where there is none."""

    value: reactive[str] = reactive("")
    unit: reactive[str] = reactive("")

    def render(self) -> Text:
        """The largest of the sizes that fits."""
        spare = len(self.unit) + 1
        for widen, heighten in ((4, 2), (3, 2), (2, 1), (1, 1)):
            lines = block_lines(self.value, widen, heighten)
            if len(lines) <= self.size.height and len(lines[0]) + spare <= self.size.width:
                lines[-1] = f"{lines[-1]} {self.unit}"
                return Text("\n".join(lines), no_wrap=True)
        return Text(f"{self.value} {self.unit}", no_wrap=True)
