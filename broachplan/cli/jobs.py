"""``broachplan jobs``: the list of coming work."""

from __future__ import annotations

import typer

from broachplan.cli.asking import asks
from broachplan.cli.options import AsJson, Db
from broachplan.cli.terminal import say, say_json
from broachplan.questions.jobs import (
    JobAddRequest,
    JobDrawingRequest,
    JobDropRequest,
    JobEditRequest,
    JobFinishRequest,
    JobImportRequest,
    JobRequest,
    JobsRequest,
    JobStartRequest,
)


@asks(JobImportRequest)
def import_(request: JobImportRequest, db: Db = None) -> None:
    """Add the jobs of a list that are new and change the coming ones that differ: all rows or, where one is wrong, none.

    A list is a CSV file or a workbook with a row for each job; number, due, quantity, bore and hub_length must be
    columns. Every length has its unit in the cell. What changes is shown, old and new. A job that is started, done or
    dropped is never touched; where its row differs, that is said.

    \b
    Example:
      broachplan jobs import jobs.csv
    """
    from broachplan.cli.layout import wrap
    from broachplan.desks.buyer.import_jobs import import_jobs

    first, *others = import_jobs(db, request).lines
    say([first, *(line for text in others for line in wrap(text, "  ", "    "))])


@asks(JobsRequest)
def list_(request: JobsRequest, as_json: AsJson = False, db: Db = None) -> None:
    """List the jobs by priority, due day and number, with the days on which each is at the press.

    \b
    Example:
      broachplan jobs list --state coming
    """
    from broachplan.cli.layout import say_list
    from broachplan.views.jobs import JOBS

    say_list(JOBS, db, request, as_json=as_json)


@asks(JobRequest)
def show(request: JobRequest, as_json: AsJson = False, db: Db = None) -> None:
    """Show one job: its question as typed, its days at the press, what it holds, and its history.

    \b
    Example:
      broachplan jobs show J-701
    """
    from broachplan.desks.buyer.list_jobs import show_job

    shown = show_job(db, request)
    if as_json:
        from broachplan.views.jobs import shown_as_dict

        say_json(shown_as_dict(shown))
    else:
        from broachplan.cli.layout import sheet_lines
        from broachplan.views.jobs import job_sheet

        say(sheet_lines(job_sheet(shown)))


@asks(JobDrawingRequest)
def drawing(request: JobDrawingRequest, db: Db = None) -> None:
    """Draw the bushing and the shims that would make a blocked job possible: views, limits and notes, a page for each.

    The name of the file decides the form: .svg or .pdf. A page is drawn to scale and names it; print at 100 %.
    Exit code 3: there is nothing that the shop could make for it.

    \b
    Example:
      broachplan jobs drawing J-712 J-712.pdf
    """
    from broachplan.desks.buyer.draw_pieces import draw_pieces
    from broachplan.errors import quoted

    drawn = draw_pieces(db, request)
    if not drawn.code:
        say([quoted(str(request.file), most=200)])
    say(drawn.lines)
    if drawn.code:
        raise typer.Exit(drawn.code)


@asks(JobAddRequest)
def add(request: JobAddRequest, db: Db = None) -> None:
    """Put one more job into the list, as coming.

    \b
    Example:
      broachplan jobs add J-801 --due 2031-05-28 --quantity 4 \\
          --bore "1 in +0.001 -0" --key "1/4 in" --hub-length "1-1/8 in"
    """
    from broachplan.desks.buyer.add_job import add_job

    say(add_job(db, request).lines)


@asks(JobEditRequest)
def edit(request: JobEditRequest, db: Db = None) -> None:
    """Change what is known of a job: what is given changes, the rest stays; "" takes a value back.

    Of a started job only note, drawing and priority change, unless --state coming sets it back, which frees its pieces.

    \b
    Example:
      broachplan jobs edit J-801 --due 2031-06-04 --priority 2
    """
    from broachplan.desks.buyer.edit_job import edit_job

    say(edit_job(db, request).lines)


@asks(JobStartRequest)
def start(request: JobStartRequest, db: Db = None) -> None:
    """Start a job: broach, bushing and shims of its plan are held for it on each of its days, all or none.

    Exit codes: 3 it has no plan; 5 its plan needs pieces that are lent, or held for other work, on one of its days.

    \b
    Example:
      broachplan jobs start J-801 --by Kim
    """
    from broachplan.desks.buyer.start_job import JobNotStarted, start_job

    started = start_job(db, request)
    if isinstance(started, JobNotStarted):
        from broachplan.cli.layout import sheet_lines
        from broachplan.sheets.answer import plan_sheet
        from broachplan.sheets.result import Detail

        say(sheet_lines(plan_sheet(started.answer, detail=Detail.USUAL)))
        raise typer.Exit(started.code)
    say(started.lines)


@asks(JobFinishRequest)
def finish(request: JobFinishRequest, db: Db = None) -> None:
    """Note that a started job is done; what it holds from today on is free.

    \b
    Example:
      broachplan jobs finish J-801
    """
    from broachplan.desks.buyer.close_job import finish_job

    say(finish_job(db, request).lines)


@asks(JobDropRequest)
def drop(request: JobDropRequest, db: Db = None) -> None:
    """Drop a coming or a started job; what it holds from today on is free.

    \b
    Example:
      broachplan jobs drop J-801
    """
    from broachplan.desks.buyer.close_job import drop_job

    say(drop_job(db, request).lines)
