"""``broachplan crib join`` and ``split``: which pieces lie in which marked box."""

from __future__ import annotations

from broachplan.cli.asking import asks
from broachplan.cli.options import Db
from broachplan.cli.terminal import say
from broachplan.questions.acts import JoinRequest, SplitRequest


@asks(JoinRequest)
def join(request: JoinRequest, db: Db = None) -> None:
    """Put pieces into a set, which may be a new one; with --set make two sets one.

    \b
    Example:
      broachplan crib join "box Elm" BR-0250-A GU-1000-0250-A SH-0250-01
    """
    from broachplan.desks.attendant.change_set import join

    say(join(db, request).lines)


@asks(SplitRequest)
def split(request: SplitRequest, db: Db = None) -> None:
    """Take pieces out of a set; without tags all of them, and the set ends.

    \b
    Example:
      broachplan crib split "box Elm" SH-0250-01 --into "box Oak"
    """
    from broachplan.desks.attendant.change_set import split

    say(split(db, request).lines)
