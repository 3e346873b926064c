"""``broachplan crib lend``, ``return``, ``out`` and ``sets``: who has what."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from broachplan.cli.options import AsJson, By, Db
from broachplan.cli.terminal import say, say_json
from broachplan.errors import InputError

if TYPE_CHECKING:
    from broachplan.crib.wear import Booking

Tag = Annotated[str, typer.Argument(metavar="[TAG]", help="The tag of the piece, as typed or scanned.")]
OfSet = Annotated[str, typer.Option("--set", metavar="NAME", help="A whole set instead of one piece.")]
Note = Annotated[str, typer.Option("--note", metavar="TEXT", help="A note for the history.")]
Hubs = Annotated[int | None, typer.Option("--hubs", metavar="N", help="How many hubs a broach cut.")]
Passes = Annotated[int | None, typer.Option("--passes", metavar="N", help="In how many passes each.")]
HubLength = Annotated[str, typer.Option("--hub-length", metavar="LENGTH", help="How long the hubs were.")]


def lend(
    to: Annotated[str, typer.Option("--to", metavar="NAME", help="Who gets it: any name.")],
    tag: Tag = "",
    job: Annotated[
        str, typer.Option("--job", metavar="NUMBER", help="What it is for, told in the history.")
    ] = "",
    due: Annotated[
        str, typer.Option("--due", metavar="DATE", help="Back by this day, for example 2031-05-28.")
    ] = "",
    of_set: OfSet = "",
    note: Note = "",
    by: By = "",
    db: Db = None,
) -> None:
    """Lend a piece, or with --set every piece of a set.

    Only what is fit, in its place and not held that day for other work is lent; else one line says why, with
    exit code 5. Of a set all are lent or none.

    \b
    Example:
      broachplan crib lend BR-0250-A --to Kim --job 4711 --due 2031-05-28
    """
    from broachplan.cli.lending_words import lent_in_words
    from broachplan.desks.attendant.lend_piece import lend_piece, lend_set

    check_one(tag, of_set)
    act, what = (lend_set, of_set) if of_set else (lend_piece, tag)
    say([lent_in_words(act(db, what, to, job=job, due=due, note=note, by=by), of_set)])


def return_(
    condition: Annotated[
        str,
        typer.Option("--condition", metavar="WORD", help="What the inspection found: fit, worn or unfit."),
    ],
    tag: Tag = "",
    of_set: OfSet = "",
    hubs: Hubs = None,
    passes: Passes = None,
    hub_length: HubLength = "",
    note: Note = "",
    by: By = "",
    db: Db = None,
) -> None:
    """Take a piece back and say what its inspection found, or with --set all of a set that is out.

    A piece found worn or unfit is in no plan from then on. What a broach cut is booked with --hubs, --passes and
    --hub-length.

    \b
    Example:
      broachplan crib return BR-0250-A --condition worn --note chipped
    """
    from broachplan.cli.lending_words import returned_in_words
    from broachplan.desks.attendant.return_piece import return_piece, return_set

    check_one(tag, of_set)
    booking = booking_of(hubs, passes, hub_length)
    if of_set:
        say(map(returned_in_words, return_set(db, of_set, condition, booking=booking, note=note, by=by)))
    else:
        say([returned_in_words(return_piece(db, tag, condition, booking=booking, note=note, by=by))])


def out(
    on: Annotated[
        str, typer.Option("--on", metavar="DATE", help="The day that tells what is overdue; else today.")
    ] = "",
    as_json: AsJson = False,
    db: Db = None,
) -> None:
    """List what is out: with whom, since when, due when; what is overdue comes first.

    \b
    Example:
      broachplan crib out
    """
    from broachplan.crib.words import checked_day
    from broachplan.desks.attendant.list_out import list_out

    listed = list_out(db, checked_day(on, "on"))
    if as_json:
        from broachplan.cli.lending_json import out_as_dict

        say_json(out_as_dict(listed))
    else:
        from broachplan.cli.lending_words import out_in_words

        say(out_in_words(listed))


def sets(as_json: AsJson = False, db: Db = None) -> None:
    """List the sets: complete, or what is out, what is not fit and whether the broach is missing.

    \b
    Example:
      broachplan crib sets
    """
    from broachplan.desks.attendant.list_sets import list_sets

    listed = list_sets(db)
    if as_json:
        from broachplan.cli.lending_json import sets_as_dict

        say_json(sets_as_dict(listed))
    else:
        from broachplan.cli.lending_words import sets_in_words

        say(sets_in_words(listed))


def booking_of(hubs: int | None, passes: int | None, hub_length: str) -> Booking | None:
    """What a broach cut, as typed: all three, or nothing."""
    told = hubs is not None, passes is not None, bool(hub_length.strip())
    if not any(told):
        return None
    if hubs is None or passes is None or not hub_length.strip():
        raise InputError("cuts: write all of --hubs, --passes and --hub-length, or none of them")
    from broachplan.crib.wear import checked_booking
    from broachplan.lengths import parse_length

    return checked_booking(hubs, passes, parse_length(hub_length, "hub length"))


def check_one(tag: str, of_set: str) -> None:
    if bool(tag.strip()) == bool(of_set.strip()):
        raise InputError("tag: name one piece by its tag, or a set with --set NAME")
