"""``broachplan run``: show, list and export."""

from __future__ import annotations

from broachplan.cli.asking import asks
from broachplan.cli.options import AsJson, Db
from broachplan.cli.terminal import say, say_json
from broachplan.questions.runs import RunExportRequest, RunRequest, RunsRequest


@asks(RunRequest)
def show(request: RunRequest, as_json: AsJson = False, db: Db = None) -> None:
    """Show a run: what it is about, what is next, and every step.

    \b
    Example:
      broachplan run show R7-K3QX
    """
    from broachplan.desks.machinist.runs.looking import show_run

    shown = show_run(db, request)
    if as_json:
        from broachplan.cli.run_json import run_as_dict

        say_json(run_as_dict(shown))
    else:
        from broachplan.cli.run_words import run_lines

        say(run_lines(shown))


@asks(RunsRequest)
def list_(request: RunsRequest, as_json: AsJson = False, db: Db = None) -> None:
    """List the runs, the latest first.

    \b
    Example:
      broachplan run list --open
    """
    from broachplan.cli.layout import say_list
    from broachplan.views.runs import RUNS

    say_list(RUNS, db, request, as_json=as_json)


@asks(RunExportRequest)
def export(request: RunExportRequest, db: Db = None) -> None:
    """Write runs.csv, steps.csv and run_pieces.csv: every length with its unit, readings as typed and as T.

    \b
    Example:
      broachplan run export records
    """
    from broachplan.desks.machinist.runs.exporting import export_runs
    from broachplan.errors import quoted
    from broachplan.shown import numbered

    written = export_runs(db, request)
    say([f"{numbered(written.runs, 'run')} written to {quoted(request.folder, most=200)}"])
