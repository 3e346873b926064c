"""Bringing a database to the current revision, with a copy made first. Alembic is loaded only here."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection, Engine

from broachplan import places
from broachplan.errors import StorageError, quoted
from broachplan.store import schema
from broachplan.store.engine import WRITES, engine_for
from broachplan.store.location import Location, located, make_file, make_private_file, reason
from broachplan.store.whole_file import dated_name
from broachplan.store.work import ready, told

if TYPE_CHECKING:
    from alembic.config import Config


class Outcome(StrEnum):
    """What an upgrade found to do."""

    CREATED = "created"
    CURRENT = "current"
    UPGRADED = "upgraded"


@dataclass(frozen=True, slots=True)
class Upgraded:
    """What an upgrade did, where, and the copy it made first; a database server's copy is its keeper's work."""

    outcome: Outcome
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
    make_file(location)
    engine = engine_for(location)
    try:
        with told(location):
            return _upgrade(engine, location, on)
    finally:
        engine.dispose()


def _upgrade(engine: Engine, location: Location, on: date) -> Upgraded:
    with engine.connect() as connection:
        found, empty = schema.revision_of(connection), schema.is_empty(connection)
    if found == schema.current():
        return Upgraded(Outcome.CURRENT, location.name, found)
    if empty:
        with engine.connect() as connection:
            ready(engine, connection, location)
        return Upgraded(Outcome.CREATED, location.name, schema.current())
    if found is None or found not in schema.REVISIONS:
        schema.check_revision(found, location)
    copy = dated_name(location.path, on) if location.path else None
    with engine.connect() as connection:
        _run(connection.execution_options(**{WRITES: True}), location, copy)
    return Upgraded(Outcome.UPGRADED, location.name, schema.current(), copy)


def _run(connection: Connection, location: Location, copy: Path | None) -> None:
    from alembic import command

    config = alembic_config()
    config.attributes["connection"] = connection
    if copy is not None:
        # Once the write lock is held, so that the copy is what the upgrade then changes.
        config.attributes["before"] = lambda: _back_up(location, copy)
    try:
        command.upgrade(config, "head")
    except ValueError as error:
        raise StorageError(f"{location.name} was not upgraded and is as it was: {error}") from error


def alembic_config() -> Config:
    """Alembic's configuration: where the revisions lie. There is no file of it."""
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(places.migrations()).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    return config


def _back_up(location: Location, copy: Path) -> None:
    assert location.path is not None
    try:
        make_private_file(copy)
        with closing(sqlite3.connect(location.path)) as source, closing(sqlite3.connect(copy)) as target:
            source.backup(target)
    except OSError as error:
        raise StorageError(
            f"no copy could be made at {quoted(str(copy), most=200)}: {reason(error)}"
        ) from error
