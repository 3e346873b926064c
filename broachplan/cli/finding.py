"""``broachplan crib find``: pieces by tag, size, home, person, or by what they serve."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from broachplan.cli.asking import asks
from broachplan.cli.options import AsJson, Db
from broachplan.cli.terminal import say, say_json
from broachplan.questions.reads import FindRequest

if TYPE_CHECKING:
    from collections.abc import Iterator

    from broachplan.desks.attendant.find_pieces import SearchResult

SCHEMA = "broachplan.found/1"


@asks(FindRequest)
def find(request: FindRequest, as_json: AsJson = False, db: Db = None) -> None:
    """Find pieces: words in tag, kind, set, home, note, state and names, sizes among the figures.

    "fits SIZE" finds the bushings for such a bore, "cuts SIZE" the broaches for such a keyway.

    \b
    Example:
      broachplan crib find fits 30 mm
    """
    from broachplan.desks.attendant.find_pieces import find_pieces

    found = find_pieces(db, request)
    if as_json:
        from broachplan.cli.crib_json import entry

        pieces: list[dict[str, Any]] = [
            {**entry(each.kept), "found_by": list(each.by)} for each in found.pieces
        ]
        say_json({"schema": SCHEMA, "pieces": pieces})
    else:
        say(_in_words(found))


def _in_words(found: SearchResult) -> Iterator[str]:
    from broachplan.cli.layout import wrap

    for each in found.pieces:
        record = each.kept.record
        words = [each.kept.state, f"home {record.home}" if record.home else "", ", ".join(each.by)]
        line = f"{record.piece.tag}, a {record.piece.kind}: {'; '.join(filter(None, words))}"
        yield from wrap(line, "  ", "    ")
    yield f"{len(found.pieces)} piece{'' if len(found.pieces) == 1 else 's'} found"
