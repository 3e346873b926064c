"""``broachplan crib join`` and ``split``: which pieces lie in which marked box."""

from __future__ import annotations

from typing import Annotated

import typer

from broachplan.cli.options import By, Db
from broachplan.cli.terminal import say

Tags = Annotated[list[str] | None, typer.Argument(metavar="TAG...", help="The tags of the pieces.")]
Name = Annotated[str, typer.Argument(metavar="NAME", help="The name of the set.")]


def join(
    name: Name,
    tags: Tags = None,
    of_set: Annotated[
        str, typer.Option("--set", metavar="NAME", help="Another set, all of it; it is no more then.")
    ] = "",
    by: By = "",
    db: Db = None,
) -> None:
    """Put pieces into a set, which may be a new one; with --set make two sets one.

    \b
    Example:
      broachplan crib join "box Elm" BR-0250-A GU-1000-0250-A SH-0250-01
    """
    from broachplan.desks.attendant.change_set import join_set

    moved = join_set(db, name, tags or (), of_set=of_set, by=by)
    what = ", ".join(moved.tags)
    say([f"set {moved.into}: {what} put in" if what else f"set {moved.into}: all of them are in it already"])


def split(
    name: Name,
    tags: Tags = None,
    into: Annotated[
        str, typer.Option("--into", metavar="NAME", help="Another set to put them into; else none.")
    ] = "",
    by: By = "",
    db: Db = None,
) -> None:
    """Take pieces out of a set; without tags all of them, and the set is no more.

    \b
    Example:
      broachplan crib split "box Elm" SH-0250-01 --into "box Oak"
    """
    from broachplan.desks.attendant.change_set import split_set

    moved = split_set(db, name, tags or (), into=into, by=by)
    where = f", put into {moved.into}" if moved.into else ""
    say([f"set {moved.out_of}: {', '.join(moved.tags) or 'nothing'} taken out{where}"])
