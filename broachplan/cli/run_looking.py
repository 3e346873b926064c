"""``broachplan run``: show, list and export."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from broachplan.cli.options import AsJson, Db
from broachplan.cli.terminal import say, say_json

Run = Annotated[str, typer.Argument(metavar="RUN", help="The run, by its number or its code (R7-K3QX).")]


def show(run: Run, as_json: AsJson = False, db: Db = None) -> None:
    """Show a run: what it is about, what is next, and every step.

    \b
    Example:
      broachplan run show R7-K3QX
    """
    from broachplan.desks.machinist.runs.looking import show_run

    shown = show_run(db, run)
    if as_json:
        from broachplan.cli.run_json import run_as_dict

        say_json(run_as_dict(shown))
    else:
        from broachplan.cli.run_words import run_lines

        say(run_lines(shown))


def list_(
    only_open: Annotated[
        bool, typer.Option("--open", help="Only those that are running or stopped.")
    ] = False,
    as_json: AsJson = False,
    db: Db = None,
) -> None:
    """List the runs, the latest first.

    \b
    Example:
      broachplan run list --open
    """
    from broachplan.cli.layout import say_list
    from broachplan.desks.machinist.runs.looking import list_runs
    from broachplan.views.runs import RUNS

    say_list(RUNS, list_runs(db, only_open=only_open), as_json=as_json)


def export(
    folder: Annotated[Path, typer.Argument(parser=Path, metavar="FOLDER", help="Where the files go.")],
    run: Annotated[str, typer.Argument(metavar="[RUN]", help="One run alone, by its number or code.")] = "",
    overwrite: Annotated[bool, typer.Option("--overwrite", help="Replace files of those names.")] = False,
    db: Db = None,
) -> None:
    """Write runs.csv, steps.csv and run_pieces.csv: every length with its unit, readings as typed and as T.

    \b
    Example:
      broachplan run export records
    """
    from broachplan.desks.machinist.runs.exporting import export_runs

    written = export_runs(db, folder, run, overwrite=overwrite)
    say(
        [
            f"{written.runs} run{'' if written.runs == 1 else 's'} written to {', '.join(map(str, written.files))}"
        ]
    )
