"""``broachplan crib import``, ``export``, ``list`` and ``show``: pieces in, out, listed and shown."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Annotated

import typer

from broachplan.cli.asking import asks
from broachplan.cli.options import AsJson, Db
from broachplan.cli.terminal import say, say_json
from broachplan.errors import ExitCode, quoted
from broachplan.questions.files import ExportRequest, ImportPreviewRequest, ImportRequest
from broachplan.questions.reads import ListRequest, ShowRequest
from broachplan.shown import numbered


@asks(ImportRequest)
def import_(
    request: ImportRequest,
    preview: Annotated[
        bool, typer.Option("--preview", help="Show what it would change, and write nothing.")
    ] = False,
    db: Db = None,
) -> None:
    """Add and change pieces from CSV files or workbooks: all or, where a row is wrong, none.

    Of a folder, those of broaches.csv, bushings.csv, shims.csv, presses.csv, pins.csv and rings.csv that are there,
    else crib.xlsx. A workbook has a sheet for each kind, named as those files are. Every length has its unit in the
    cell. crib export writes the form. A row with figures measured before the crib's own is refused, and so is one with a
    figure that jumps by more than 0.010 in; --preview shows what an import would do, exit code 3 that it would be refused.

    \b
    Example:
      broachplan crib import measured/ --preview
      broachplan crib import measured/
    """
    if preview:
        _say_preview(db, request)
        return
    from broachplan.desks.attendant.import_crib import import_crib

    with _bar() as progress:
        imported = import_crib(db, request, progress=progress)
    _say_lines(imported.lines)


def _say_preview(db: str | None, request: ImportRequest) -> None:
    """What an import would change; a no where it would be refused."""
    from broachplan.desks.attendant.import_crib import preview_import

    with _bar() as progress:
        found = preview_import(db, ImportPreviewRequest(asked=request), progress=progress)
    _say_lines(found.lines)
    if found.refusals:
        raise typer.Exit(ExitCode.NO)


def _say_lines(lines: Sequence[str]) -> None:
    from broachplan.cli.layout import wrap

    first, *others = lines
    say([first, *(line for text in others for line in wrap(text, "  ", "    "))])


@asks(ExportRequest)
def export(request: ExportRequest, db: Db = None) -> None:
    """Write all pieces as CSV files, or as a workbook, that import as they are.

    All files are written or none is: a refusal leaves what was there.

    Text that a spreadsheet would take for a formula, a day or another number has an apostrophe before it in CSV
    files, which an import takes off again; in a workbook every cell is text.

    \b
    Example:
      broachplan crib export measured/
      broachplan crib export crib.xlsx
    """
    from broachplan.desks.attendant.export_crib import export_crib

    exported = export_crib(db, request)
    (where, *others) = exported.files
    written = quoted(request.folder if others else str(where), most=200)
    say([f"{numbered(exported.pieces, 'piece')} written to {written}"])
    if not exported.pieces:
        say(["fill in the files, a row for each piece, then `broachplan crib import` takes them in"])


@asks(ListRequest)
def list_(request: ListRequest, as_json: AsJson = False, db: Db = None) -> None:
    """List the pieces by kind and tag, with their first figures, state and home.

    \b
    Example:
      broachplan crib list --kind bushing --text "drawer 4"
    """
    from broachplan.cli.layout import say_list
    from broachplan.views.pieces import PIECES

    say_list(PIECES, db, request, as_json=as_json)


@asks(ShowRequest)
def show(request: ShowRequest, as_json: AsJson = False, db: Db = None) -> None:
    """Show one piece: every figure, how it was measured, its state, its home and its history.

    \b
    Example:
      broachplan crib show BR-250
    """
    from broachplan.desks.attendant.show_piece import show_piece

    shown = show_piece(db, request)
    if as_json:
        from broachplan.views.piece_json import piece_as_dict

        say_json(piece_as_dict(shown))
    else:
        from broachplan.cli.layout import say_worded, sheet_lines
        from broachplan.views.piece import piece_sheet
        from broachplan.views.today import today

        say_worded(sheet_lines(piece_sheet(shown, today(shown)._replace(units=shown.units))), db)


@contextmanager
def _bar() -> Iterator[Callable[[int, int], None] | None]:
    """A bar beside the result while rows are read; none where nobody would see it."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task("reading rows", total=None)

        def advance(done: int, total: int) -> None:
            progress.update(task, completed=done, total=total)

        yield advance
