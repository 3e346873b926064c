"""The unit of work: one short transaction, rolled back unless it is committed. Nothing outlives its block."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from broachplan.errors import InputError, StorageError, quoted
from broachplan.store import schema
from broachplan.store.engine import WRITES, engine_for
from broachplan.store.location import Location, located, make_file


class Work:
    """One transaction on one crib."""

    def __init__(self, connection: Connection, location: Location, *, writes: bool = False) -> None:
        self.connection = connection
        self.location = location
        self.writes = writes

    def commit(self) -> None:
        """Keep what was written."""
        self.connection.commit()


@contextmanager
def reading(db: str | None) -> Iterator[Work]:
    """A snapshot of the crib to read from; a new or empty database is set up first.

    Raises
    ------
    StorageError : the database cannot be used, or is of another revision.
    """
    with _opened(db, writes=False) as work:
        yield work


@contextmanager
def writing(db: str | None) -> Iterator[Work]:
    """A transaction that holds the write lock from its start and is rolled back unless committed; see `reading`."""
    with _opened(db, writes=True) as work:
        yield work


@contextmanager
def told(location: Location) -> Iterator[None]:
    """Turn what a database driver raises into one line for the user."""
    try:
        yield
    except UnicodeEncodeError as error:
        # A terminal hands bytes that are no character on as half of a pair, which no database takes.
        raise InputError(f"read {quoted(str(error.object))}; it holds bytes that are no character") from error
    except (DBAPIError, sqlite3.Error) as error:
        raise StorageError(f"{location.name} cannot be used: {_reason(error)}") from error
    except SQLAlchemyError as error:
        raise StorageError(f"{location.name} cannot be used: {type(error).__name__}") from error


@contextmanager
def _opened(db: str | None, *, writes: bool) -> Iterator[Work]:
    location = located(db)
    make_file(location)
    engine = engine_for(location)
    try:
        with told(location), engine.connect() as connection:
            if not writes and connection.dialect.name == "postgresql":
                # Else each statement would see the crib of its own moment; SQLite's readers see one moment anyway.
                connection.execution_options(isolation_level="REPEATABLE READ")
            ready(engine, connection.execution_options(**{WRITES: writes}), location)
            yield Work(connection, location, writes=writes)
    finally:
        engine.dispose()


def ready(engine: Engine, connection: Connection, location: Location) -> None:
    """Leave ``connection`` in a transaction on a database of the current revision, set up if it was empty."""
    found = schema.revision_of(connection)
    if found is None and schema.is_empty(connection):
        connection.rollback()
        with engine.connect() as apart, apart.execution_options(**{WRITES: True}).begin():
            schema.set_up(apart)
        found = schema.revision_of(connection)
    schema.check_revision(found, location)


def _reason(error: DBAPIError | sqlite3.Error) -> str:
    """The driver's first line, in words for the causes that a user can act on."""
    cause = error.orig if isinstance(error, DBAPIError) else error
    said = str(cause).strip().partition("\n")[0]
    if getattr(cause, "sqlite_errorcode", None) == sqlite3.SQLITE_READONLY_DBMOVED:
        return "another file took its place meanwhile, as a restore does; try again"
    if "locked" in said or "busy" in said:
        return "another program is writing to it; try again"
    if "not a database" in said:
        return "it is not a database"
    return said.lower()
