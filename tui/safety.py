"""The cautions of push broaching on the screens."""

from __future__ import annotations

from rich.text import Text

from broachplan.sheets import safety
from broachplan.tooling.drive import Drive

SHORT = f"{safety.SHORT} F7: all"
MILLING = "Safety glasses on; stop the spindle before you measure or reach in. F7: all"
ADVISORY = "Advisory only: never a release for use. F7: cautions"


def safety_text(drive: Drive) -> Text:
    """All of them, to read at leisure, as they suit the press at hand."""
    text = Text()
    for heading, words in safety.work_cautions(drive):
        text.append(f"{heading}\n", "bold")
        text.append(f"{words}\n\n")
    text.rstrip()
    return text
