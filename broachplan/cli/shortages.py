"""``broachplan shortages``: which coming jobs cannot be cut, and what is missing."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from typing import TYPE_CHECKING

import typer

from broachplan.cli.asking import asks
from broachplan.cli.options import AsJson, Db
from broachplan.cli.terminal import say, say_json
from broachplan.errors import ExitCode
from broachplan.questions.shortages import ShortagesRequest

if TYPE_CHECKING:
    from rich.status import Status


@asks(ShortagesRequest)
def shortages(request: ShortagesRequest, as_json: AsJson = False, db: Db = None) -> None:
    """Show which coming jobs cannot be cut, and what is missing; with offers, what to buy.

    Each is ready, clashes over a piece with another, or is blocked, with its reason: a piece serves one job a day.
    With --offers the cheapest basket is found after which as many jobs can be cut as with all that is there in time.
    Exit codes: 0 every coming job is ready as things are, 3 one is not.

    \b
    Example:
      broachplan shortages --on 2031-05-28 --until 2031-06-30
      broachplan shortages --offers offers.csv --budget 250
    """
    from broachplan.desks.buyer.shortages import find_shortages

    with _telling() as tell:
        found = find_shortages(db, request, tell=tell)
    if as_json:
        from broachplan.cli.shortages_json import as_dict

        say_json(as_dict(found))
    else:
        from broachplan.cli.layout import sheet_lines
        from broachplan.views.shortages import shortages_sheet

        say(sheet_lines(shortages_sheet(found)))
    raise typer.Exit(ExitCode.DONE if found.all_ready else ExitCode.NO)


@contextmanager
def _telling() -> Iterator[Callable[[str], None] | None]:
    """A line on what is being done while a basket is looked for; none where nobody would see it."""
    if not sys.stderr.isatty():
        yield None
        return
    with ExitStack() as shown:
        status: Status | None = None

        def tell(words: str) -> None:
            nonlocal status
            if status is None:
                status = _begun(shown)
            status.update(f"looking for the cheapest basket: {words}")

        yield tell


def _begun(shown: ExitStack) -> Status:
    from rich.console import Console

    return shown.enter_context(Console(stderr=True).status("looking for the cheapest basket"))
