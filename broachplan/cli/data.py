"""``broachplan data``: the database itself, checked, kept safe and brought up to date."""

from __future__ import annotations

from pathlib import Path

import typer

from broachplan.cli.asking import asks
from broachplan.cli.options import Db
from broachplan.cli.terminal import say, say_on_stderr
from broachplan.errors import ExitCode, quoted
from broachplan.questions.files import BackupRequest, RestoreRequest, UpgradeRequest
from broachplan.questions.reads import CheckRequest

data_app = typer.Typer(
    help="Check the crib's database, back it up, restore it, bring it up to date.", rich_markup_mode=None
)


@data_app.command()
def check(db: Db = None) -> None:
    """Check the whole database; nothing is written.

    Silent and exit code 0 when all is well; else a line for each finding and exit code 4.

    \b
    Example:
      broachplan data check
    """
    from broachplan.desks.attendant.check_data import check_data

    if findings := check_data(db, CheckRequest()):
        say(findings)
        raise typer.Exit(ExitCode.STORAGE)


@data_app.command()
def upgrade(db: Db = None) -> None:
    """Bring the database to the revision of this program, after a copy was made: beside a file, else in your data folder.

    Where there is no database yet, one is made.

    \b
    Example:
      broachplan data upgrade
    """
    from datetime import date

    from broachplan.desks.attendant.upgrade_data import UpgradeOutcome, upgrade_data

    done = upgrade_data(db, UpgradeRequest(), on=date.today())
    if done.outcome is UpgradeOutcome.UPGRADED:
        copy = f"; the copy made before is {_named(done.copy)}" if done.copy else ""
        say([f"{done.database} was brought to revision {done.revision}{copy}"])
    elif done.outcome is UpgradeOutcome.CREATED:
        say([f"{done.database} was made, at revision {done.revision}"])
    else:
        say([f"{done.database} is at revision {done.revision} already; nothing was changed"])


@data_app.command()
@asks(BackupRequest)
def backup(request: BackupRequest, db: Db = None) -> None:
    """Write the whole crib into one file that shows later whether any bit of it has changed.

    It is read back and checked before it gets its name; others can keep working. Keep it on another disk.
    A crib in which data check has findings is written as it is, with a warning and exit code 4; data restore refuses
    such a backup, and it replaces another one only if both options are given.

    \b
    Example:
      broachplan data backup crib-monday.backup
    """
    from datetime import date

    from broachplan.desks.attendant.backup_data import backup_data

    done = backup_data(db, request, on=date.today())
    say(
        [
            f"{done.database} is backed up in {_named(done.file)}: revision {done.revision}, {done.size:,} bytes, read back and whole"
        ]
    )
    if done.findings:
        say_on_stderr(
            f"broachplan: {done.database} fails its check, and so does this backup, which data restore refuses: {len(done.findings):,} finding(s), the first: {done.findings[0]}; broachplan data check lists them"
        )
        raise typer.Exit(ExitCode.STORAGE)


@data_app.command()
@asks(RestoreRequest)
def restore(request: RestoreRequest, db: Db = None) -> None:
    """Put the crib back from a backup; what was there is kept under a dated name, beside it or in a schema of its own.

    A backup with a single changed bit is refused, and so is one whose crib fails data check; then nothing is touched.

    \b
    Example:
      broachplan data restore crib-monday.backup
    """
    from datetime import date

    from broachplan.desks.attendant.restore_data import restore_data

    done = restore_data(db, request, on=date.today())
    where = _named(done.kept) if done.kept else done.aside and f"the schema {quoted(done.aside)}"
    kept = f"; what was there before is kept in {where}" if where else ""
    lines = [
        f"{done.database} is restored from {quoted(request.file, most=200)} of {done.made.isoformat()}{kept}"
    ]
    if not done.current:
        lines.append(
            f"it is of the older revision {done.revision}; run `broachplan data upgrade` (it makes a copy first)"
        )
    say(lines)


def _named(path: Path) -> str:
    return quoted(str(path), most=200)
