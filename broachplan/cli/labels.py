"""``broachplan crib labels``: labels for pieces as a PDF, and a page of outlines to try a printer with."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from typing import Annotated

import typer

from broachplan.cli.asking import asks
from broachplan.cli.options import Db
from broachplan.cli.terminal import say
from broachplan.errors import InputError, quoted
from broachplan.questions.files import LabelsRequest, OutlinesRequest

_NAME = 14


@asks(LabelsRequest)
def labels(
    request: LabelsRequest,
    list_grids: Annotated[bool, typer.Option("--grids", help="List the sheets of labels.")] = False,
    outline: Annotated[
        bool, typer.Option("--outline", help="Write the outlines of the sheet's labels instead.")
    ] = False,
    db: Db = None,
) -> None:
    """Write labels for pieces as a PDF: a QR code with the tag, the tag, the size in words, home and set.

    Without --tag, --kind, --text, --set or --home: for every piece. Print at actual size; try --outline on plain paper
    first.

    \b
    Examples:
      broachplan crib labels labels.pdf --set "box Alder" --grid a4-3x8
      broachplan crib labels labels.pdf --tag BR-0250-A --start 7
      broachplan crib labels outline.pdf --grid a4-3x8 --outline
    """
    from broachplan.desks.attendant.print_labels import print_labels, print_outlines
    from broachplan.views.labels import printed_lines

    if list_grids:
        say(_grids_in_words())
        return
    if not request.file:
        raise InputError("file", "nothing was given; name the PDF to write, for example labels.pdf")
    if outline:
        wanted = OutlinesRequest(file=request.file, grid=request.grid, overwrite=request.overwrite)
        say(printed_lines(print_outlines(db, wanted), quoted(request.file, most=200)))
        return
    with _bar() as progress:
        printed = print_labels(db, request, progress=progress)
    say(printed_lines(printed, quoted(str(printed.file), most=200)))


def _grids_in_words() -> Iterator[str]:
    from broachplan.desks.attendant.print_labels import DEFAULT_GRID, grid_in_words, grids

    for grid in grids().values():
        usual = " (the usual one)" if grid.name == DEFAULT_GRID else ""
        yield f"{grid.name:<{_NAME}}{grid_in_words(grid)}{usual}"
        if grid.doubts:
            yield f"{'':<{_NAME}}  {', '.join(grid.doubts)}"
    yield ""
    yield "Makers cut a grid a little differently: print --outline on plain paper first."


@contextmanager
def _bar() -> Iterator[Callable[[int, int], None] | None]:
    """A progress bar, from the first label on; none where nobody would see it."""
    if not sys.stderr.isatty():
        yield None
        return
    with ExitStack() as shown:
        advance: Callable[[int, int], None] | None = None

        def advanced(done: int, total: int) -> None:
            nonlocal advance
            if advance is None:
                advance = _begun(shown)
            advance(done, total)

        yield advanced


def _begun(shown: ExitStack) -> Callable[[int, int], None]:
    from rich.console import Console
    from rich.progress import Progress

    progress = shown.enter_context(Progress(console=Console(stderr=True), transient=True))
    task = progress.add_task("drawing labels", total=None)

    def advance(done: int, total: int) -> None:
        progress.update(task, completed=done, total=total)

    return advance
