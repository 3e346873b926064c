"""``broachplan crib inspect``, ``book``, ``regrind`` and ``due``: what broaches have done, and their inspection."""

from __future__ import annotations

from broachplan.cli.asking import asks
from broachplan.cli.options import AsJson, Db
from broachplan.cli.terminal import say
from broachplan.questions.acts import BookRequest, InspectRequest
from broachplan.questions.piece import RegrindRequest
from broachplan.questions.reads import DueRequest


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
    """Book the cuts of a broach without returning it: a cut is one pass through one hub.

    \b
    Example:
      broachplan crib book BR-0250-A --hubs 4 --passes 3 --hub-length "1 in"
    """
    from broachplan.desks.attendant.book_cuts import book

    say(book(db, request).lines)


@asks(RegrindRequest)
def regrind(request: RegrindRequest, db: Db = None) -> None:
    """Record a regrind with the heights measured after it.

    With --ground-off and --relief geometry shows how far the teeth should have come down: a check, never instead of
    measuring.

    \b
    Example:
      broachplan crib regrind BR-0250-A --first-tooth-height "0.5606 in" \\
        --last-tooth-height "0.6054 in" --ground-off "0.005 in" --relief "2 deg"
    """
    from broachplan.cli.layout import wrap
    from broachplan.desks.attendant.regrind_piece import regrind_piece

    done = regrind_piece(db, request)
    say(line for text in done.lines for line in wrap(text, rest="  "))


@asks(DueRequest)
def due(request: DueRequest, as_json: AsJson = False, db: Db = None) -> None:
    """List the broaches with what they have cut; those due for inspection or a regrind by the shop's limits first.

    The limits are the settings inspect_cuts, inspect_length, inspect_days, regrind_cuts and regrind_length; the shop
    sets them.

    \b
    Example:
      broachplan crib due
    """
    from broachplan.cli.layout import say_list
    from broachplan.views.wear import WEAR

    say_list(WEAR, db, request, as_json=as_json)
