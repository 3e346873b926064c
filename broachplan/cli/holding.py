"""``broachplan crib hold``, ``release`` and ``holds``: pieces kept for named work by the day."""

from __future__ import annotations

from broachplan.cli.asking import asks
from broachplan.cli.options import AsJson, Db
from broachplan.cli.terminal import say
from broachplan.questions.acts import HoldRequest, ReleaseRequest
from broachplan.questions.reads import HoldsRequest


@asks(HoldRequest)
def hold(request: HoldRequest, db: Db = None) -> None:
    """Hold a piece, or with --set every piece of a set, for named work on a day or some days.

    On those days no other work gets it: plan --on DATE passes it by, and it is lent for its work only. A piece that is
    out then, missing or not fit is held with --anyway.

    \b
    Example:
      broachplan crib hold BR-0250-A --for J-701 --day 2031-05-28
    """
    from broachplan.desks.attendant.hold_piece import hold

    say(hold(db, request).lines)


@asks(ReleaseRequest)
def release(request: ReleaseRequest, db: Db = None) -> None:
    """Release a piece, or with --set a set, on a day or some days, whatever it was held for.

    \b
    Example:
      broachplan crib release BR-0250-A --day 2031-05-28
    """
    from broachplan.desks.attendant.hold_piece import release

    say(release(db, request).lines)


@asks(HoldsRequest)
def holds(request: HoldsRequest, as_json: AsJson = False, db: Db = None) -> None:
    """List what is held: from when to when, and for what.

    \b
    Example:
      broachplan crib holds
    """
    from broachplan.cli.layout import say_list
    from broachplan.views.holds import HOLDS

    say_list(HOLDS, db, request, as_json=as_json)
