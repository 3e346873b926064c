"""``broachplan crib hold``, ``release`` and ``holds``: pieces kept for named work by the day."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from broachplan.cli.asking import asks
from broachplan.cli.options import AsJson, Db
from broachplan.cli.terminal import say, say_json
from broachplan.questions.acts import HoldRequest, ReleaseRequest

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from broachplan.desks.attendant.hold_piece import Hold

SCHEMA = "broachplan.holds/1"


@asks(HoldRequest)
def hold(request: HoldRequest, db: Db = None) -> None:
    """Hold a piece, or with --set every piece of a set, for named work on a day or some days.

    On those days no other work gets it: plan --on DATE passes it by, and it is lent for its work only.

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


def holds(
    first: Annotated[
        str, typer.Option("--from", metavar="DATE", help="Holds from this day on; else from today.")
    ] = "",
    as_json: AsJson = False,
    db: Db = None,
) -> None:
    """List what is held: from when to when, and for what.

    \b
    Example:
      broachplan crib holds
    """
    from broachplan.crib.words import read_day
    from broachplan.desks.attendant.hold_piece import list_holds

    listed = list_holds(db, read_day(first, "from"))
    if as_json:
        say_json({"schema": SCHEMA, "holds": [_as_dict(each) for each in listed]})
    else:
        say(_in_words(listed))


def _in_words(listed: Sequence[Hold]) -> Iterator[str]:
    from broachplan.cli.layout import wrap

    for each in listed:
        until = f" to {each.last}" if each.last != each.first else ""
        yield from wrap(f"{each.first}{until}  {each.tag}, a {each.kind}: {each.for_what}", "  ", "    ")
    yield f"{len(listed)} hold{'' if len(listed) == 1 else 's'}"


def _as_dict(each: Hold) -> dict[str, str]:
    return {
        "tag": each.tag,
        "kind": each.kind.value,
        "for": each.for_what,
        "first": each.first.isoformat(),
        "last": each.last.isoformat(),
    }
