"""The way from the command line to the screens."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING

from broachplan import places

if TYPE_CHECKING:
    from broachplan.questions.hub import PlanRequest


def open_screens(
    db: str | None = None, request: PlanRequest | None = None, *, first_tools: bool = False
) -> None:
    """Open the screens, with ``first_tools`` on the guided first crib; a fault in them is reported as one in a command is.

    Their titles name the crib that they are on, so the environment is asked here.
    """
    from tui.app import run

    run(
        db if db is not None else os.environ.get(places.VARIABLE) or None,
        request,
        first_tools=first_tools,
        report=_reported,
    )


def _reported(error: Exception) -> str:
    from broachplan.cli.report import as_user_error

    return str(as_user_error(error, sys.argv[1:]))
