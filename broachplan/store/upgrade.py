"""Bringing a database to the current revision, with a copy made first. Alembic is loaded only here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from functools import partial
from pathlib import Path

from sqlalchemy import Connection, Engine

from broachplan import saved
from broachplan.errors import StorageError, quoted
from broachplan.store import schema
from broachplan.store.backup import exported, packed, taken
from broachplan.store.engine import WRITES, engine_for
from broachplan.store.image import blank_image
from broachplan.store.location import Location, backup_place, check_writes, located, make_file, reason
from broachplan.store.revisions import migrate
from broachplan.store.transaction import as_user_errors
from broachplan.store.whole_file import dated_name, take_place, written_beside
from broachplan.store.work import ready


class UpgradeOutcome(StrEnum):
    """What an upgrade found to do."""

    CREATED = "created"
    CURRENT = "current"
    UPGRADED = "upgraded"


@dataclass(frozen=True, slots=True)
class Upgraded:
    """What an upgrade did, where, and the copy it made first: a file to use as it is, of a server's crib a backup."""

    outcome: UpgradeOutcome
    database: str
    revision: str
    copy: Path | None = None


def upgrade(db: str | None, on: date) -> Upgraded:
    """Bring a database to the current revision, or set it up where there is none.

    ``on`` dates the copy of the file that is made before anything is changed.

    Raises
    ------
    StorageError : it is no crib, of a revision that is not known, or the upgrade failed and was undone.
    """
    location = located(db)
    check_writes(location)
    make_file(location)
    engine = engine_for(location)
    with as_user_errors(location):
        done = _upgrade(engine, location, on)
    if done.outcome is not UpgradeOutcome.CURRENT:
        saved.note()
    return done


def _upgrade(engine: Engine, location: Location, on: date) -> Upgraded:
    with engine.connect() as connection:
        found, empty = schema.revision_of(connection), schema.is_empty(connection)
    if found == schema.current():
        return Upgraded(UpgradeOutcome.CURRENT, location.name, found)
    if empty:
        with engine.connect() as connection:
            ready(engine, connection, location)
        return Upgraded(UpgradeOutcome.CREATED, location.name, schema.current())
    if found is None or found not in schema.REVISIONS:
        schema.check_revision(found, location)
    copy = dated_name(location.path or backup_place(location), on)
    blank = b"" if location.path else blank_image(str(found))
    with engine.connect() as connection:
        before = partial(_back_up, connection, location, copy, on, blank)
        _run(connection.execution_options(**{WRITES: True}), location, before)
    return Upgraded(UpgradeOutcome.UPGRADED, location.name, schema.current(), copy)


def _run(connection: Connection, location: Location, before: Callable[[], None]) -> None:
    try:
        # Called once the write lock is held, so that the copy is what the upgrade then changes.
        migrate(connection, "head", before)
    except ValueError as error:
        raise StorageError(f"{location.name} was not upgraded and is as it was: {error}") from error


def _back_up(connection: Connection, location: Location, copy: Path, on: date, blank: bytes) -> None:
    try:
        if location.path is None:
            # Every unit of work reads the revision first: from here on no other is half way through the tables.
            connection.exec_driver_sql(f"LOCK TABLE {schema.VERSION.name} IN ACCESS EXCLUSIVE MODE")
            content = packed(exported(connection, location, on, blank))
        else:
            content = taken(location, on).content
        with written_beside(copy, content) as made:
            take_place(made, copy)
    except OSError as error:
        raise StorageError(
            f"no copy could be made at {quoted(str(copy), most=200)}: {reason(error)}"
        ) from error
