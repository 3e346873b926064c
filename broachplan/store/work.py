"""The unit of work: one short transaction, rolled back unless it is committed. Nothing outlives its block."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from broachplan.errors import InputError, StorageError, quoted
from broachplan.store import schema
from broachplan.store.causes import is_forbidden, may_make_no_tables, told_of
from broachplan.store.engine import WRITES, engine_for
from broachplan.store.location import Location, located, make_file


class Work:
    """One transaction on one crib."""

    def __init__(self, connection: Connection, location: Location, *, writes: bool = False) -> None:
        self.connection = connection
        self.location = location
        self.writes = writes

    def commit(self) -> None:
        """Keep what was written.

        Raises
        ------
        StorageError : the server was lost while it kept it, and only a look can tell whether it did.
        """
        try:
            self.connection.commit()
        except DBAPIError as error:
            if not error.connection_invalidated:
                raise
            raise StorageError(
                f"{self.location.name} was lost while it kept the change; look whether it is there before you do it again"
            ) from error


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
def told(location: Location, *, writes: bool = True) -> Iterator[None]:
    """Turn what a database driver raises into one line for the user; ``writes``: something was to be changed."""
    try:
        yield
    except UnicodeEncodeError as error:
        # A terminal hands bytes that are no character on as half of a pair, which no database takes.
        raise InputError(f"read {quoted(str(error.object))}; it holds bytes that are no character") from error
    except (DBAPIError, sqlite3.Error) as error:
        cause = error.orig if isinstance(error, DBAPIError) else error
        if isinstance(cause, Exception) and "NUL (0x00)" in str(cause):
            raise InputError("read a text with the character U+0000 in it; no text may have it") from error
        raise StorageError(told_of(error, location, writes=writes)) from error
    except SQLAlchemyError as error:
        raise StorageError(f"{location.name} cannot be used: {type(error).__name__}") from error


@contextmanager
def _opened(db: str | None, *, writes: bool) -> Iterator[Work]:
    location = located(db)
    make_file(location)
    engine = engine_for(location)
    with told(location, writes=writes), engine.connect() as connection:
        if not writes:
            one_moment(connection)
        ready(engine, connection.execution_options(**{WRITES: writes}), location)
        yield Work(connection, location, writes=writes)


def one_moment(connection: Connection) -> None:
    """Let every statement of a reader see the crib of one moment, as on SQLite they do anyway."""
    if connection.dialect.name == "postgresql":
        connection.execution_options(isolation_level="REPEATABLE READ", postgresql_readonly=True)


def ready(engine: Engine, connection: Connection, location: Location) -> None:
    """Leave ``connection`` in a transaction on a database of the current revision, set up if it was empty."""
    found = schema.revision_of(connection)
    if found is None and schema.is_empty(connection):
        connection.rollback()
        try:
            with engine.connect() as apart, apart.execution_options(**{WRITES: True}).begin():
                schema.set_up(apart)
        except DBAPIError as error:
            if not is_forbidden(error):
                raise
            raise StorageError(may_make_no_tables(location)) from error
        found = schema.revision_of(connection)
    schema.check_revision(found, location)
