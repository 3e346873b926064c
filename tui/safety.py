"""The cautions of push broaching on the screens."""

from __future__ import annotations

from rich.text import Text

from broachplan.sheets.safety import CAUTIONS

SHORT = "Safety glasses on; hands clear of the ram; never pull a broach back. F7: all"
MILLING = "Safety glasses on; stop the spindle before you measure or reach in. F7: all"
ADVISORY = "Advisory only: never a release for use. F7: cautions"


def safety_text() -> Text:
    """All of them, to read at leisure."""
    text = Text()
    for heading, words in CAUTIONS:
        text.append(f"{heading}\n", "bold")
        text.append(f"{words}\n\n")
    text.rstrip()
    return text
