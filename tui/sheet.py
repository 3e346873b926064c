"""A result's sheet as the text of a screen."""

from __future__ import annotations

from itertools import dropwhile

from rich.text import Text

from broachplan.sheets.layout import Tone, lay_out
from broachplan.sheets.result import ResultSheet
from tui.plain import plain

_STYLES = {Tone.PLAIN: "", Tone.WARNING: "reverse", Tone.HEADING: "bold", Tone.TITLES: "underline"}


def sheet_text(sheet: ResultSheet, width: int) -> Text:
    """The sheet in lines of a width, without its title, which a screen shows above."""
    laid_out = dropwhile(lambda line: not line.text, lay_out(sheet, width))
    lines = (Text(plain(line.text), _STYLES[line.tone]) for line in laid_out)
    return Text("\n").join(lines)
