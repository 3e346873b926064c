"""``broachplan crib hold``, ``release`` and ``holds``: pieces kept for named work by the day."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from broachplan.cli.lending import OfSet, Tag, check_one
from broachplan.cli.options import AsJson, By, Db
from broachplan.cli.terminal import say, say_json

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from broachplan.desks.attendant.hold_piece import Held, Hold

SCHEMA = "broachplan.holds/1"
Day = Annotated[str, typer.Option("--day", metavar="DATE", help="The day, for example 2031-05-28.")]
Until = Annotated[str, typer.Option("--until", metavar="DATE", help="The last day, where there are more.")]


def hold(
    for_what: Annotated[
        str, typer.Option("--for", metavar="WORK", help="The work, for example a job's number.")
    ],
    on: Day,
    tag: Tag = "",
    until: Until = "",
    of_set: OfSet = "",
    by: By = "",
    db: Db = None,
) -> None:
    """Hold a piece, or with --set every piece of a set, for named work on a day or some days.

    On those days no other work gets it: plan --on DATE passes it by, and it is lent for its work only.

    \b
    Example:
      broachplan crib hold BR-0250-A --for J-701 --day 2031-05-28
    """
    from broachplan.desks.attendant.hold_piece import hold_piece, hold_set

    check_one(tag, of_set)
    act, what = (hold_set, of_set) if of_set else (hold_piece, tag)
    held = act(db, what, for_what, on, until=until, by=by)
    if held.tags:
        say([f"{', '.join(held.tags)} held {_days(held)} for {held.for_what}"])
    else:
        say([f"{what.strip()} is held {_days(held)} for {held.for_what} already"])


def release(
    on: Day, tag: Tag = "", until: Until = "", of_set: OfSet = "", by: By = "", db: Db = None
) -> None:
    """Hold a piece, or with --set a set, no more on a day or some days, whatever it was held for.

    \b
    Example:
      broachplan crib release BR-0250-A --day 2031-05-28
    """
    from broachplan.desks.attendant.hold_piece import release_piece, release_set

    check_one(tag, of_set)
    act, what = (release_set, of_set) if of_set else (release_piece, tag)
    held = act(db, what, on, until=until, by=by)
    say([f"{', '.join(held.tags)} no more held {_days(held)} for {held.for_what}"])


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
    from broachplan.crib.words import checked_day
    from broachplan.desks.attendant.hold_piece import list_holds

    listed = list_holds(db, checked_day(first, "from"))
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


def _days(held: Held) -> str:
    first, last = held.days[0], held.days[-1]
    return f"on {first}" if first == last else f"from {first} to {last}"
