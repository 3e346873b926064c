"""Lines for a terminal of 80 columns."""

from __future__ import annotations

import re
import textwrap

WIDTH = 80
_FIGURE = re.compile(r"(?<=\d) (?=(?:in|mm|thou|lbf|kN|N|HRC|HB)\b)")
_TIED = "\N{NO-BREAK SPACE}"


def wrap(text: str, first: str = "", rest: str = "") -> list[str]:
    """``text`` on lines that begin with ``first``, then ``rest``; a figure keeps its unit beside it."""
    lines = textwrap.wrap(
        _FIGURE.sub(_TIED, text), WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False
    )
    return [line.replace(_TIED, " ") for line in lines]
