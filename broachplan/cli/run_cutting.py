"""``broachplan run``: start, push, read, stop, park, resume and end."""

from __future__ import annotations

import typer

from broachplan.cli.asking import asks
from broachplan.cli.options import Db
from broachplan.cli.run_kept import say_kept
from broachplan.cli.terminal import say
from broachplan.questions.runs import (
    RunAgainRequest,
    RunEndRequest,
    RunGaugingRequest,
    RunParkRequest,
    RunPushedRequest,
    RunReadRequest,
    RunReplanRequest,
    RunResumeRequest,
    RunStartRequest,
    RunStopRequest,
)


@asks(RunStartRequest)
def start(request: RunStartRequest, db: Db = None) -> None:
    """Plan a hub again, keep the plan as a run, and lend its pieces, all or none.

    With --job alone it is a run of that job of the list: its hub, press, drawing and quantity, and where it is started the
    pieces that it holds. What you have already, or what is lent for the same job, counts as on hand. The pieces are due on
    the last day of the job, else today. Exit codes: 3 no plan, 5 the plan needs pieces that others have. The first line
    holds the run's code.

    \b
    Example:
      broachplan run start --bore "1 in +0.001 -0" --key "1/4 in" \\
          --hub-length "1-1/8 in" --hubs 4 --job J-701 --by Kim
    """
    from broachplan.questions.read_hub import read_hub_question

    # Wrong input is refused before the crib's machinery is loaded.
    if not request.of_job:
        read_hub_question(request)
    from broachplan.desks.machinist.runs.start import NotStarted, start_run

    kept = start_run(db, request)
    if isinstance(kept, NotStarted):
        from broachplan.cli.layout import sheet_lines
        from broachplan.sheets.answer import plan_sheet
        from broachplan.sheets.result import Detail

        say(sheet_lines(plan_sheet(kept.answer, detail=Detail.USUAL)))
        raise typer.Exit(kept.code)
    say_kept(kept)


@asks(RunPushedRequest)
def pushed(request: RunPushedRequest, db: Db = None) -> None:
    """Book the push that is due; its cuts are booked on the broach.

    \b
    Example:
      broachplan run pushed 7 --shims SH-0250-01,SH-0250-02
    """
    from broachplan.desks.machinist.runs.cutting import push

    say_kept(push(db, request))


@asks(RunReadRequest)
def read(request: RunReadRequest, db: Db = None) -> None:
    """Book the reading after a pass; the passes left are planned again where they would miss the limits.

    A reading off its band is kept and stops the run (exit code 3) until it is corrected, or typed again with --sure.

    \b
    Example:
      broachplan run read 7 --measured "1.0739 in" --with "gauge 12"
    """
    from broachplan.desks.machinist.runs.cutting import read_gauge

    say_kept(read_gauge(db, request))


@asks(RunAgainRequest)
def again(request: RunAgainRequest, db: Db = None) -> None:
    """Let a second push of the same shims be next.

    \b
    Example:
      broachplan run again 7
    """
    from broachplan.desks.machinist.runs.cutting import push_again

    say_kept(push_again(db, request))


@asks(RunGaugingRequest)
def gauging(request: RunGaugingRequest, db: Db = None) -> None:
    """Change how often hubs are gauged from now on; what is through stays as it is.

    \b
    Example:
      broachplan run gauging 7 --read every
    """
    from broachplan.desks.machinist.runs.cutting import change_gauging

    say_kept(change_gauging(db, request))


@asks(RunReplanRequest)
def replan(request: RunReplanRequest, db: Db = None) -> None:
    """Take the other plan that was offered, instead of the shims that were kept.

    \b
    Example:
      broachplan run replan 7
    """
    from broachplan.desks.machinist.runs.cutting import take_other_plan

    say_kept(take_other_plan(db, request))


@asks(RunStopRequest)
def stop(request: RunStopRequest, db: Db = None) -> None:
    """Stop for now; the tools stay out.

    \b
    Example:
      broachplan run stop 7 --why "end of the shift"
    """
    from broachplan.desks.machinist.runs.pausing import stop_run

    say_kept(stop_run(db, request))


@asks(RunParkRequest)
def park(request: RunParkRequest, db: Db = None) -> None:
    """Put the tools back into the crib between two passes: others may use them until the run is resumed.

    \b
    Example:
      broachplan run park 7 --by Kim
    """
    from broachplan.desks.machinist.runs.pausing import park_run

    say_kept(park_run(db, request))


@asks(RunResumeRequest)
def resume(request: RunResumeRequest, db: Db = None) -> None:
    """Resume a run that is stopped or parked; tools in the crib are lent again, all or none.

    \b
    Example:
      broachplan run resume 7 --by Ann
    """
    from broachplan.desks.machinist.runs.pausing import resume_run

    say_kept(resume_run(db, request))


@asks(RunEndRequest)
def end(request: RunEndRequest, db: Db = None) -> None:
    """End a run whose hubs are cut and read, or with --abandon give it up.

    The tools stay out until the window takes them back and inspects them. With --broach-condition, what the run lent is
    returned at once.

    \b
    Example:
      broachplan run end 7 --broach-condition fit
    """
    from broachplan.desks.machinist.runs.pausing import end_run

    say_kept(end_run(db, request))
