"""``broachplan crib stock``: what was in the crib at the end of a day."""

from __future__ import annotations

from broachplan.cli.asking import asks
from broachplan.cli.options import AsJson, Db
from broachplan.questions.reads import StockRequest


@asks(StockRequest)
def stock(request: StockRequest, as_json: AsJson = False, db: Db = None) -> None:
    """Show what was in the crib at the end of any day: home, condition, who had it, what was missing or retired.

    A day ends by the clock of this machine. It is worked out from what there is now, with all that was done since
    taken back; pieces older than the history count as there from the start.

    \b
    Example:
      broachplan crib stock --on 2031-05-28 --kind broach
    """
    from broachplan.cli.layout import say_list
    from broachplan.views.stock import STOCK

    say_list(STOCK, db, request, as_json=as_json)
