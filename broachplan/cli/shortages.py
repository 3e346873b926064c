"""``broachplan shortages``: which coming jobs cannot be cut, and what is missing."""

from __future__ import annotations

import typer

from broachplan.cli.asking import asks
from broachplan.cli.options import AsJson, Db
from broachplan.cli.terminal import say, say_json
from broachplan.errors import ExitCode
from broachplan.questions.shortages import ShortagesRequest


@asks(ShortagesRequest)
def shortages(request: ShortagesRequest, as_json: AsJson = False, db: Db = None) -> None:
    """Show which coming jobs cannot be cut, and what is missing.

    Each is ready, clashes over a piece with another, or is blocked, with its reason: a piece serves one job a day. Exit codes: 0 every coming job is ready, 3 one is not.

    \b
    Example:
      broachplan shortages --on 2031-05-28 --until 2031-06-30
    """
    from broachplan.desks.buyer.shortages import find_shortages

    found = find_shortages(db, request)
    if as_json:
        from broachplan.cli.shortages_json import as_dict

        say_json(as_dict(found))
    else:
        from broachplan.cli.layout import sheet_lines
        from broachplan.views.shortages import shortages_sheet

        say(sheet_lines(shortages_sheet(found)))
    raise typer.Exit(ExitCode.DONE if found.all_ready else ExitCode.NO)
