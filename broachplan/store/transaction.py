"""One transaction on one crib, and what goes wrong in it as one line for the user."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Connection
from sqlalchemy.exc import DBAPIError, ProgrammingError, SQLAlchemyError

from broachplan import saved
from broachplan.errors import InputError, StorageError
from broachplan.store.causes import NO_TABLE, driver_line, error_line
from broachplan.store.location import Location
from broachplan.store.schema import VERSION


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
        StorageError : the connection was lost during the save, and only a look shows whether it was kept.
        """
        try:
            self.connection.commit()
        except DBAPIError as error:
            if not error.connection_invalidated:
                raise
            raise StorageError(
                f"{self.location.name}: connection lost during the save; check before you repeat it"
            ) from error
        saved.note()


@contextmanager
def as_user_errors(location: Location, *, writes: bool = True) -> Iterator[None]:
    """Turn what a database driver raises into one line for the user; ``writes``: something was to be changed."""
    try:
        yield
    except UnicodeEncodeError as error:
        # A terminal passes bytes that are no character as half of a surrogate pair, which no database takes.
        raise InputError("", "it holds bytes that are no character", read=str(error.object)) from error
    except UnicodeDecodeError as error:
        raise StorageError(f"{location.name} is damaged: {driver_line(error)}") from error
    except (DBAPIError, sqlite3.Error) as error:
        cause = error.orig if isinstance(error, DBAPIError) else error
        if isinstance(cause, Exception) and "NUL (0x00)" in str(cause):
            raise InputError(
                "", "read a text with the character U+0000 in it; no text may have it"
            ) from error
        raise StorageError(error_line(error, location, writes=writes)) from error
    except SQLAlchemyError as error:
        raise StorageError(f"{location.name} cannot be used: {type(error).__name__}") from error


def one_moment(connection: Connection) -> None:
    """Let every statement of a reader see the crib of one moment, as on SQLite they do anyway.

    On a server that moment is chosen by the first query, even if it then waits for a restore: it would look for the
    tables of before, which are elsewhere by then. Taking a lock chooses none, so that is waited for first.
    """
    if connection.dialect.name != "postgresql":
        return
    connection.execution_options(isolation_level="REPEATABLE READ", postgresql_readonly=True)
    try:
        connection.exec_driver_sql(f"LOCK TABLE {VERSION.name} IN ACCESS SHARE MODE")
    except ProgrammingError as error:
        if getattr(error.orig, "sqlstate", None) != NO_TABLE:
            raise
        connection.rollback()
