"""Words on lines of a width."""

from __future__ import annotations

import re
import textwrap

_FIGURE = re.compile(r"(?<=\d) (?=(?:in|mm|thou|lbf|kN|N|HRC|HB)\b)")
TIED = "\N{NO-BREAK SPACE}"


def wrapped(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    """``text`` on lines that begin with ``first``, then ``rest``; a figure keeps its unit beside it."""
    lines = textwrap.wrap(
        _FIGURE.sub(TIED, text), width, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False
    )
    return [line.replace(TIED, " ") for line in lines]
