"""``broachplan crib stock``: what was in the crib at the end of a day, in words and for another program."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import TYPE_CHECKING, Annotated, Any

import typer

from broachplan.cli.kinds import OfKind, kind_wanted
from broachplan.cli.layout import wrap
from broachplan.cli.options import AsJson, Db
from broachplan.cli.terminal import say, say_json

if TYPE_CHECKING:
    from broachplan.desks.attendant.stock_on import Placed, Stock

SCHEMA = "broachplan.stock/1"
MOST_RETIRED = 20
_TAG = 16


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
    """Tell what was in the crib at the end of any day: home, condition, who had it, what was missing or retired.

    A day ends by the clock of this machine. It is worked out from what there is now, with all that was done since
    taken back; pieces older than the history count as there from the start.

    \b
    Example:
      broachplan crib stock --on 2031-05-28 --kind broach
    """
    from broachplan.crib.words import read_day
    from broachplan.desks.attendant.stock_on import stock_on

    found = stock_on(db, read_day(on, "on"), kind=kind_wanted(kind), text=text)
    if as_json:
        say_json(stock_as_dict(found))
    else:
        say(stock_in_words(found))


def stock_in_words(found: Stock) -> Iterator[str]:
    """A line for each piece that was there, then what was retired by then, and what the history cannot tell."""
    yield f"stock at the end of {found.on}"
    for kind, group in groupby(found.there, key=lambda piece: piece.status.kind):
        pieces = list(group)
        yield from ("", f"{kind.plural} ({len(pieces)})")
        for piece in pieces:
            yield from wrap(f"{piece.tag:<{_TAG}}  {_state(piece)}", "  ", " " * (_TAG + 4))
    there = found.there
    out = sum(piece.status.loan is not None for piece in there)
    missing = sum(piece.status.missing_since is not None for piece in there)
    yield from ("", f"{len(there)} piece{'' if len(there) == 1 else 's'}, {out} out, {missing} missing")
    if retired := [piece.tag for piece in found.retired]:
        more = f" and {len(retired) - MOST_RETIRED} more" if len(retired) > MOST_RETIRED else ""
        yield from wrap(f"{len(retired)} retired: {', '.join(retired[:MOST_RETIRED])}{more}", "", "  ")
    if found.older:
        begins = f"begins on {found.begins}" if found.begins else "has not begun"
        yield from wrap(
            f"The history {begins}; older pieces are shown as having been there always.", "", "  "
        )


def stock_as_dict(found: Stock) -> dict[str, Any]:
    """The stock of a day, retired pieces too."""
    return {
        "schema": SCHEMA,
        "on": found.on.isoformat(),
        "begins": found.begins.isoformat() if found.begins else None,
        "older": found.older,
        "pieces": [_piece(piece) for piece in found.pieces],
    }


def _piece(piece: Placed) -> dict[str, Any]:
    status = piece.status
    loan = status.loan
    return {
        "tag": piece.tag,
        "kind": status.kind.value,
        "set": piece.set_name,
        "home": piece.home,
        "condition": status.condition.value,
        "retired": status.retired,
        "missing_since": status.missing_since.isoformat() if status.missing_since else None,
        "lent": {
            "to": loan.to,
            "since": loan.since.isoformat(),
            "due": loan.due.isoformat() if loan.due else None,
            "job": loan.job,
        }
        if loan
        else None,
    }


def _state(piece: Placed) -> str:
    status = piece.status
    loan = status.loan
    parts = [
        status.condition.value,
        f"lent to {loan.to} since {loan.since}{f', due {loan.due}' if loan.due else ''}" if loan else "",
        f"missing since {status.missing_since}" if status.missing_since else "",
        f"home {piece.home}" if piece.home else "no home",
    ]
    return "; ".join(part for part in parts if part)
