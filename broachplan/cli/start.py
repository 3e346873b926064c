"""``broachplan start``: the guided first crib, on the screens or line by line."""

from __future__ import annotations

import os
from typing import Annotated

import typer

from broachplan.cli.options import Db
from broachplan.cli.terminal import in_terminal
from broachplan.errors import InputError

_NO_SCREENS = ("", "dumb", "unknown")


def start(
    plain: Annotated[bool, typer.Option("--plain", help="Ask line by line, without screens.")] = False,
    by: Annotated[str, typer.Option("--by", metavar="NAME", help="Who takes the pieces in.")] = "",
    db: Db = None,
) -> None:
    """Take the first tools in, step by step, and plan today's hub.

    First the hub, then a bushing, a broach and the shims for it, then its plan and the rest of the box. Each question
    shows at one key how to measure. Stop at any point and run it again: it resumes there. Without screens it asks line
    by line.

    \b
    Example:
      broachplan start
    """
    if not in_terminal():
        raise InputError(
            "start",
            "it asks its questions at a terminal; without one fill in the files that `broachplan crib export FOLDER`"
            " writes, then `broachplan crib import FOLDER`",
        )
    if plain or os.environ.get("TERM", "") in _NO_SCREENS:
        from broachplan.cli.dialogue import Dialogue

        Dialogue(db, by).run()
    else:
        from broachplan.cli.screens import open_screens

        open_screens(db, first_tools=True)
