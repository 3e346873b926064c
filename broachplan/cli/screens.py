"""The way from the command line to the screens."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from broachplan.planner.question import Question


def open_screens(
    db: str | None = None, question: Question | None = None, *, press: str = "", on: str = ""
) -> None:
    """Open the screens; a fault of our own in them is reported as one in a command is."""
    from tui.app import run

    run(db, question, press=press, on=on, report=_reported)


def _reported(error: Exception) -> str:
    from broachplan.cli.report import reported

    return reported(error, sys.argv[1:])
