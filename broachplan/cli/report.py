"""A fault of our own, written to a file for the maintainers; the user sees one line."""

from __future__ import annotations

import os
import platform
import traceback
from collections.abc import Iterable, Sequence
from importlib import metadata
from pathlib import Path
from urllib.parse import unquote

from broachplan import places
from broachplan.errors import BroachplanError, passwords_in, without_passwords
from broachplan.private import make_private_folder

_MASK = "***"
_VERSIONS = ("broachplan", "typer", "sqlmodel", "sqlalchemy", "alembic", "pint", "textual", "psycopg")


def as_user_error(error: Exception, arguments: Sequence[str]) -> BroachplanError:
    """What a fault is for the user: the crib's, where that fails its check; else our own, of which a report is written."""
    from broachplan.desks.attendant.check_data import blamed

    try:
        cause = blamed(error)
    except Exception:  # the first fault is the one to report
        cause = error
    return cause if isinstance(cause, BroachplanError) else BroachplanError(_reported(error, arguments))


def _reported(error: BaseException, arguments: Sequence[str]) -> str:
    cause = f"a fault of our own stopped this ({type(error).__name__})"
    report = write_report(error, arguments)
    return (
        f"{cause}, and no report of it could be written"
        if report is None
        else f"{cause}; the report is {report}"
    )


def write_report(error: BaseException, arguments: Sequence[str]) -> Path | None:
    """Write what went wrong to a new file only its owner can read; None where no file can be written.

    It goes to the user's log directory, else to the directory for temporary files. Passwords in database URLs,
    typed or in BROACHPLAN_DB, are masked everywhere.
    """
    text = masked(_report(error, arguments), [*arguments, os.environ.get(places.VARIABLE, "")])
    for folder in _folders():
        try:
            return _write(folder, text)
        except OSError:
            continue
    return None


def masked(text: str, typed: Iterable[str]) -> str:
    """``text`` without the passwords in ``typed`` and anything of the form of one."""
    secrets = {secret for word in typed for secret in passwords_in(word)}
    secrets |= {unquote(secret) for secret in secrets}
    for secret in sorted(secrets - {""}, key=len, reverse=True):
        for form in (secret, repr(secret)[1:-1]):
            text = text.replace(form, _MASK)
    return "\n".join(map(without_passwords, text.split("\n")))


def _report(error: BaseException, arguments: Sequence[str]) -> str:
    versions = [f"python {platform.python_version()} on {platform.platform()}"]
    versions += [f"{name} {_version(name)}" for name in _VERSIONS]
    story = "".join(traceback.format_exception(error))
    return "\n".join(
        ["broachplan: a fault of our own", "", f"arguments: {list(arguments)!r}", *versions, "", story]
    )


def _version(name: str) -> str:
    try:
        return metadata.version(name)
    except metadata.PackageNotFoundError:
        return "not installed"


def _folders() -> Iterable[Path]:
    import tempfile

    import platformdirs

    yield platformdirs.user_log_path("broachplan", appauthor=False)
    yield Path(tempfile.gettempdir())


def _write(folder: Path, text: str) -> Path:
    from datetime import datetime

    make_private_folder(folder)
    path = folder / f"broachplan-{datetime.now():%Y%m%d-%H%M%S-%f}-{os.getpid()}.txt"
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with open(handle, "w", encoding="utf-8", errors="backslashreplace") as file:
        file.write(text)
    return path
