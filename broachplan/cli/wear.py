"""``broachplan crib inspect``, ``book``, ``regrind`` and ``due``: what broaches have done, and their inspection."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from broachplan.cli.asking import asks
from broachplan.cli.options import AsJson, Db
from broachplan.cli.terminal import say, say_json
from broachplan.questions.acts import BookRequest, InspectRequest
from broachplan.questions.piece import RegrindRequest

if TYPE_CHECKING:
    from broachplan.desks.attendant.list_due import WearList

SCHEMA = "broachplan.due/1"


@asks(InspectRequest)
def inspect(request: InspectRequest, db: Db = None) -> None:
    """Note what an inspection of a piece in the crib found. One that is out is inspected when it is returned.

    \b
    Example:
      broachplan crib inspect BR-0250-A --condition fit --by Kim
    """
    from broachplan.desks.attendant.inspect_piece import inspect

    say(inspect(db, request).lines)


@asks(BookRequest)
def book(request: BookRequest, db: Db = None) -> None:
    """Book what a broach has cut, apart from its return: a cut is one pass through one hub.

    \b
    Example:
      broachplan crib book BR-0250-A --hubs 4 --passes 3 --hub-length "1 in"
    """
    from broachplan.desks.attendant.book_cuts import book

    say(book(db, request).lines)


@asks(RegrindRequest)
def regrind(request: RegrindRequest, db: Db = None) -> None:
    """Record a regrind with the heights measured after it.

    With --ground-off and --relief geometry tells how far the teeth should have come down: a check, never instead of
    measuring.

    \b
    Example:
      broachplan crib regrind BR-0250-A --first-tooth-height "0.5606 in" \\
        --last-tooth-height "0.6054 in" --ground-off "0.005 in" --relief "2 deg"
    """
    from broachplan.cli.wear_words import reground_in_words
    from broachplan.desks.attendant.regrind_piece import regrind_piece

    say(reground_in_words(regrind_piece(db, request)))


def due(
    on: Annotated[
        str, typer.Option("--on", metavar="DATE", help="The day that tells what is due; else today.")
    ] = "",
    as_json: AsJson = False,
    db: Db = None,
) -> None:
    """List the broaches with what they have cut; those due for inspection or a regrind by the shop's limits first.

    The limits are the settings inspect_cuts, inspect_length, inspect_days, regrind_cuts and regrind_length; the shop
    sets them.

    \b
    Example:
      broachplan crib due
    """
    from broachplan.crib.words import read_day
    from broachplan.desks.attendant.list_due import list_due

    listed = list_due(db, read_day(on, "on"))
    if as_json:
        from broachplan.cli.wear_words import wear_as_dict

        say_json({"schema": SCHEMA, "on": listed.on.isoformat(), "broaches": _as_dicts(listed, wear_as_dict)})
    else:
        from broachplan.cli.wear_words import due_in_words

        say(due_in_words(listed))


def _as_dicts(listed: WearList, as_dict: Any) -> list[dict[str, Any]]:
    return [{"tag": each.tag, "due": list(each.due), "wear": as_dict(each.wear)} for each in listed.broaches]
