"""``broachplan crib lost``, ``broken``, ``send``, ``receive`` and ``to-inspect``: what is gone, away, or just back."""

from __future__ import annotations

from broachplan.cli.asking import asks
from broachplan.cli.options import AsJson, Db
from broachplan.cli.terminal import say
from broachplan.questions.acts import BrokenRequest, LostRequest, ReceiveRequest, SendRequest
from broachplan.questions.reads import ToInspectRequest


@asks(LostRequest)
def lost(request: LostRequest, db: Db = None) -> None:
    """Note that a piece is lost, out or in the crib. A loan ends so; who had it, and for which job, stays in the history.

    crib missing lists it, and crib found brings it back.

    \b
    Example:
      broachplan crib lost S-0060-1 --note "not in the box that Kim brought"
    """
    from broachplan.desks.attendant.write_off import lost

    say(lost(db, request).lines)


@asks(BrokenRequest)
def broken(request: BrokenRequest, db: Db = None) -> None:
    """Note that a piece is broken, out or in the crib. A loan ends so, and the piece is out of service.

    Who had it, and for which job, stays in the history.

    \b
    Example:
      broachplan crib broken BR-0250-A --note "third tooth, a hard spot"
    """
    from broachplan.desks.attendant.write_off import broken

    say(broken(db, request).lines)


@asks(SendRequest)
def send(request: SendRequest, db: Db = None) -> None:
    """Send a piece out to be reground or repaired.

    Plans count on it from the day after the one with --back, and on nothing that is overdue or has no such day.

    \b
    Example:
      broachplan crib send BR-0250-A --to "Northside Grinding" --back +10
    """
    from broachplan.desks.attendant.send_out import send

    say(send(db, request).lines)


@asks(ReceiveRequest)
def receive(request: ReceiveRequest, db: Db = None) -> None:
    """Take in a piece that was sent out. It is on no plan until it is inspected, or its regrind is booked.

    \b
    Example:
      broachplan crib receive BR-0250-A
    """
    from broachplan.desks.attendant.send_out import receive

    say(receive(db, request).lines)


@asks(ToInspectRequest)
def to_inspect(request: ToInspectRequest, as_json: AsJson = False, db: Db = None) -> None:
    """List what is back and not yet inspected: received from where it was sent, returned, or found by a count.

    \b
    Example:
      broachplan crib to-inspect
    """
    from broachplan.cli.layout import say_list
    from broachplan.views.to_inspect import TO_INSPECT

    say_list(TO_INSPECT, db, request, as_json=as_json)
