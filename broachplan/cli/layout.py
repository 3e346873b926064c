"""Lines for a terminal of 80 columns."""

from __future__ import annotations

from broachplan.sheets.layout import lay_out, wrapped
from broachplan.sheets.result import ResultSheet

WIDTH = 80


def wrap(text: str, first: str = "", rest: str = "") -> list[str]:
    """``text`` on lines that begin with ``first``, then ``rest``; a figure keeps its unit beside it."""
    return wrapped(text, WIDTH, first, rest)


def sheet_lines(sheet: ResultSheet) -> list[str]:
    """A result, line by line, its title first."""
    return [*wrap(sheet.title, rest="  "), *(line.text for line in lay_out(sheet, WIDTH))]
