"""Is the crib's database whole, and all in it such as may be? Reads only; every finding begins with its invariant."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from broachplan.errors import StorageError
from broachplan.store import schema
from broachplan.store.causes import driver_line, is_damage
from broachplan.store.engine import engine_for
from broachplan.store.image import at_current, blank_image, opened
from broachplan.store.invariants import INVARIANTS
from broachplan.store.location import Location, existing_file, located
from broachplan.store.outline import differences, outline_of
from broachplan.store.transaction import Work, as_user_errors, one_moment

# Checked on the file itself, before SQLite, which might write beside it, opens it; the rest is in `INVARIANTS`.
ABOUT_THE_FILE = {
    "file": "the crib is a SQLite file that is not empty",
    "journal": "no write was cut short, and there is no write-ahead log",
}
_MAGIC = b"SQLite format 3\0"
_WAL = 2


def check(db: str | None) -> tuple[str, ...]:
    """Everything that is wrong with a database, one line each; empty when it is well.

    Raises
    ------
    StorageError : it cannot be opened for reading at all, or is absent.
    """
    return _checked(located(db))


def first_finding(location: Location) -> str:
    """The first thing that is wrong with a crib; "" where nothing is, or it cannot be checked just now."""
    try:
        return next(iter(_checked(location)), "")
    except StorageError as error:
        return str(error) if is_damage(error.__cause__) else ""


def findings_in(content: bytes, revision: str, location: Location) -> tuple[str, ...]:
    """Everything that is wrong with a crib that is held as the bytes of a SQLite file, whose pages are known to be sound.

    One of an older revision is brought up to date in memory and then checked. ``location`` is what messages call it.

    Raises
    ------
    StorageError : SQLite cannot read it.
    """
    with as_user_errors(location, writes=False), opened(content) as memory:
        if revision != schema.current():
            if wrong := tuple(differences(outline_of(memory), _outline_of_revision(revision))):
                return tuple(f"schema: {each}" for each in wrong)
            try:
                at_current(memory, revision)
            except (DBAPIError, ValueError) as error:
                return (f"revision: it cannot be brought up to date: {driver_line(error)}",)
        return tuple(_findings(Work(memory, location)))


def _outline_of_revision(revision: str) -> dict[str, str]:
    with opened(blank_image(revision)) as blank:
        return outline_of(blank)


def damage(location: Location) -> str:
    """The first thing that SQLite finds wrong with a crib's file; "" where nothing is, and for a crib on a server."""
    if location.path is None:
        return ""
    try:
        with (
            as_user_errors(location, writes=False),
            engine_for(location, read_only=True).connect() as connection,
        ):
            said = str(connection.exec_driver_sql("PRAGMA integrity_check(1)").scalar())
            return "" if said == "ok" else said
    except StorageError as error:
        return str(error) if is_damage(error.__cause__) else ""


def in_short(findings: Sequence[str]) -> str:
    """The first of some findings, and how many more there are, as part of a sentence."""
    more = f", and {len(findings) - 1:,} more" if len(findings) > 1 else ""
    return f"{findings[0]}{more}"


def _checked(location: Location) -> tuple[str, ...]:
    if location.path is not None and (found := _file_finding(location, existing_file(location))):
        return (found,)
    engine = engine_for(location, read_only=True)
    try:
        with as_user_errors(location, writes=False), engine.connect() as connection:
            one_moment(connection)
            if location.path is None and schema.is_empty(connection):
                return (f"revision: {location.name}: it is empty; any other command sets it up",)
            return tuple(_findings(Work(connection, location)))
    except StorageError as error:
        if _is_cut_short(error.__cause__):
            return (
                f"journal: {location.name}: a write was cut short, and its journal lies beside it; any other command undoes it, then check again",
            )
        raise


def _file_finding(location: Location, path: Path) -> str:
    try:
        with path.open("rb") as file:
            head = file.read(20)
    except OSError as error:
        raise StorageError(f"{location.name} cannot be read") from error
    if not head:
        return f"file: {location.name}: it is empty; any other command sets it up"
    if not head.startswith(_MAGIC):
        return f"file: {location.name}: it is not a database"
    if _WAL in head[18:20]:
        return f"journal: {location.name}: its journal is a write-ahead log; any other command changes that"
    return ""


def _is_cut_short(cause: BaseException | None) -> bool:
    """Whether SQLite would have to undo a write first, which one that only reads may not."""
    error = cause.orig if isinstance(cause, DBAPIError) else cause
    return getattr(error, "sqlite_errorcode", None) == sqlite3.SQLITE_READONLY_ROLLBACK


def _findings(work: Work) -> Iterator[str]:
    for invariant in INVARIANTS:
        found = False
        for line in invariant.find(work):
            found = True
            yield f"{invariant.name}: {line}"
        if found and invariant.stops:
            return
