"""``broachplan data``: the database itself, checked and brought up to date."""

from __future__ import annotations

import typer

from broachplan.cli.terminal import Db, say
from broachplan.errors import ExitCode, quoted

data_app = typer.Typer(help="Check the crib's database and bring it up to date.", rich_markup_mode=None)


@data_app.command()
def check(db: Db = None) -> None:
    """Look through the whole database; nothing is written.

    Silent and exit code 0 when all is well; else a line for each finding and exit code 4.

    \b
    Example:
      broachplan data check
    """
    from broachplan.desks.attendant.check_data import check_data

    if findings := check_data(db):
        say(findings)
        raise typer.Exit(ExitCode.STORAGE)


@data_app.command()
def upgrade(db: Db = None) -> None:
    """Bring the database to the revision of this program, after a copy of the file was made beside it.

    Where there is no database yet, one is made.

    \b
    Example:
      broachplan data upgrade
    """
    from datetime import date

    from broachplan.desks.attendant.upgrade_data import Outcome, upgrade_data

    done = upgrade_data(db, date.today())
    if done.outcome is Outcome.UPGRADED:
        copy = f"; the copy made before is {quoted(str(done.copy), most=200)}" if done.copy else ""
        say([f"{done.database} was brought to revision {done.revision}{copy}"])
    elif done.outcome is Outcome.CREATED:
        say([f"{done.database} was made, at revision {done.revision}"])
    else:
        say([f"{done.database} is at revision {done.revision} already; nothing was changed"])
