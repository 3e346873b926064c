"""``broachplan jobs``: the list of its commands, each loaded only when it runs."""

from __future__ import annotations

import typer

from broachplan.cli.late import Late, late_group

_JOBS = "broachplan.cli.jobs"

COMMANDS = {
    "import": Late(_JOBS, "import_", "Bring in a list of coming jobs: all rows or none."),
    "list": Late(_JOBS, "list_", "List the jobs by priority, due day and number."),
    "show": Late(_JOBS, "show", "Show one job: its question, its days, its history."),
    "drawing": Late(_JOBS, "drawing", "Draw what the shop has to make for a blocked job."),
    "add": Late(_JOBS, "add", "Put one more job into the list."),
    "edit": Late(_JOBS, "edit", "Change what is known of a job, or set a started one back."),
    "start": Late(_JOBS, "start", "Start a job: hold the pieces of its plan on its days."),
    "finish": Late(_JOBS, "finish", "Note that a job is done, and free what it holds."),
    "drop": Late(_JOBS, "drop", "Drop a job, and free what it holds."),
}

jobs_app = typer.Typer(cls=late_group(COMMANDS), rich_markup_mode=None)


@jobs_app.callback()
def jobs() -> None:
    """Keep the list of coming work: bring jobs in, start them, finish them."""
