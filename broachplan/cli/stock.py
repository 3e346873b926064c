"""``broachplan crib stock``: what was in the crib at the end of a day."""

from __future__ import annotations

from typing import Annotated

import typer

from broachplan.cli.kinds import OfKind, kind_wanted
from broachplan.cli.options import AsJson, Db


def stock(
    on: Annotated[
        str, typer.Option("--on", metavar="DATE", help="The day, for example 2031-05-28; else today.")
    ] = "",
    kind: OfKind = "",
    text: Annotated[
        str, typer.Option("--text", metavar="TEXT", help="Only those that had it in tag, set, home or note.")
    ] = "",
    as_json: AsJson = False,
    db: Db = None,
) -> None:
    """Show what was in the crib at the end of any day: home, condition, who had it, what was missing or retired.

    A day ends by the clock of this machine. It is worked out from what there is now, with all that was done since
    taken back; pieces older than the history count as there from the start.

    \b
    Example:
      broachplan crib stock --on 2031-05-28 --kind broach
    """
    from broachplan.cli.layout import say_list
    from broachplan.crib.words import read_day
    from broachplan.views.stock import STOCK

    stock = STOCK.read(db, read_day(on, "on"), kind_wanted(kind), text)
    say_list(STOCK, stock, as_json=as_json)
