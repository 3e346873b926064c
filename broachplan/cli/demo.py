"""``broachplan demo``: the demo toolroom and the plan of its first hub."""

from __future__ import annotations

from typing import Annotated

import typer

from broachplan.cli.options import AsJson
from broachplan.cli.terminal import in_terminal, say, say_json
from broachplan.errors import ExitCode


def demo(
    no_screens: Annotated[
        bool, typer.Option("--no-screens", help="Print the plan only, in a terminal too.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Make the demo toolroom and plan its first hub.

    The demo toolroom is a crib in its own file, made new each time; your own crib is not touched. In a
    terminal the screens open on it afterwards.

    \b
    Example:
      broachplan demo --no-screens
    """
    from broachplan.desks.machinist.demo import open_demo

    shown = open_demo()
    if as_json:
        from broachplan.cli.plan_json import as_dict

        say_json(as_dict(shown.answer))
    else:
        from broachplan.cli.layout import sheet_lines, wrap
        from broachplan.sheets.answer import plan_sheet
        from broachplan.sheets.result import Detail

        plan = sheet_lines(plan_sheet(shown.answer, detail=Detail.USUAL))
        say([*wrap(f"Demo toolroom, job {shown.job}: {shown.note}"), "", *plan])
        say(["", "Its crib, for any other command:", f'  --db "{shown.db}"'])
        if in_terminal() and not no_screens:
            from broachplan.cli.screens import open_screens

            open_screens(shown.db, shown.request)
    raise typer.Exit(ExitCode.DONE if shown.answer.ready else ExitCode.NO)
