"""How the figure of a line is taken, over the form: a sentence or two and the small drawing; of other lines their help."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text

from broachplan.sheets.taking import BLOCKS, how_lines
from broachplan.tooling.to_check import figure_to_take
from tui.bases.pane import Pane
from tui.plain import plain

if TYPE_CHECKING:
    from broachplan.questions.line import Line
    from broachplan.tooling.figures import Kind

# What the pane's frame takes of a screen of 80 columns.
_WIDTH = 70


def how_pane(line: Line, kind: Kind | None, *, blocks: bool = False) -> Pane:
    """The pane for a line of a piece of ``kind``."""
    return Pane(f"How to: {line.label}", how_text(line, kind, blocks=blocks), name="how")


def how_text(line: Line, kind: Kind | None, width: int = _WIDTH, *, blocks: bool = False) -> Text:
    """What the pane shows."""
    figure = figure_to_take(kind, line.name)
    if figure is not None:
        return Text("\n".join(how_lines(figure, width, blocks=BLOCKS if blocks else None)))
    hint = f"\n{line.hint}" if line.hint else ""
    return Text(plain(f"{line.help}{hint}"))
