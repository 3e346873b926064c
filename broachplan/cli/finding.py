"""``broachplan crib find``: pieces by tag, size, home, person, or by what they fit or cut."""

from __future__ import annotations

from broachplan.cli.asking import asks
from broachplan.cli.options import AsJson, Db
from broachplan.questions.reads import FindRequest


@asks(FindRequest)
def find(request: FindRequest, as_json: AsJson = False, db: Db = None) -> None:
    """Find pieces: words in tag, kind, set, home, note, state and names, sizes among the figures.

    "fits SIZE" finds the bushings for such a bore, "cuts SIZE" the broaches for such a keyway.

    \b
    Example:
      broachplan crib find fits 30 mm
    """
    from broachplan.cli.layout import say_list
    from broachplan.views.pieces import FOUND

    say_list(FOUND, db, request, as_json=as_json)
