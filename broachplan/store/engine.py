"""An engine for a crib's database, with SQLite held to the modes that keep it whole."""

from __future__ import annotations

import sqlite3
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event
from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError, NoSuchModuleError
from sqlalchemy.pool import NullPool

from broachplan.errors import StorageError
from broachplan.store.location import Location

# Execution option of a connection that will write: its transactions take the write lock at once. A deferred one that
# turns to writing later is refused as locked, however long it may wait.
WRITES = "broachplan_writes"
BUSY_SECONDS = 10
_STRICT_SINCE = (3, 37)
# journal_mode: versions before 3.51.3 can corrupt a write-ahead log with two writers. synchronous 2 is FULL.
_MODES = {"journal_mode": "delete", "synchronous": 2, "foreign_keys": 1, "busy_timeout": BUSY_SECONDS * 1000}


def engine_for(location: Location, *, read_only: bool = False) -> Engine:
    """An engine without a pool: a connection lives as long as one unit of work.

    Raises
    ------
    StorageError : the URL cannot be read, its driver is not installed, or SQLite is too old.
    """
    if location.path is not None:
        return _sqlite_engine(location, read_only=read_only)
    try:
        return create_engine(make_url(location.url), poolclass=NullPool)
    except (ArgumentError, NoSuchModuleError, ValueError) as error:
        raise StorageError(f"database {location.name} is not a URL that can be used") from error
    except ModuleNotFoundError as error:
        raise StorageError(
            f"database {location.name}: the driver {error.name} is not installed; install it with pip"
        ) from error


def damages(connection: sqlite3.Connection | Connection) -> list[str]:
    """What SQLite finds wrong with a file. Rows that break a rule are the crib's matter, and not every SQLite tells them."""
    ask = connection.execute if isinstance(connection, sqlite3.Connection) else connection.exec_driver_sql
    said = [line for (line,) in ask("PRAGMA integrity_check").fetchall()]
    return [line for line in said if line != "ok" and not line.startswith("CHECK constraint failed")]


def _sqlite_engine(location: Location, *, read_only: bool) -> Engine:
    assert location.path is not None
    if sqlite3.sqlite_version_info < _STRICT_SINCE:
        raise StorageError(f"SQLite {sqlite3.sqlite_version} is too old; 3.37 or later is needed")
    file = f"{location.path.absolute().as_uri()}?mode={'ro' if read_only else 'rw'}"

    def connect() -> sqlite3.Connection:
        # No implicit BEGIN of the driver: the listener below says which one.
        return sqlite3.connect(
            file, uri=True, timeout=BUSY_SECONDS, isolation_level=None, check_same_thread=False
        )

    engine = create_engine(URL.create("sqlite"), creator=connect, poolclass=NullPool)
    event.listen(engine, "connect", _read_only_modes if read_only else _set_modes)
    event.listen(engine, "begin", _begin)
    return engine


def _set_modes(connection: sqlite3.Connection, _record: Any) -> None:
    for name, wanted in _MODES.items():
        # Read first: setting the journal mode anew would want a lock that others hold.
        if _mode(connection, name) != wanted:
            connection.execute(f"PRAGMA {name} = {wanted}")
            _check_mode(connection, name, wanted)


def _read_only_modes(connection: sqlite3.Connection, _record: Any) -> None:
    connection.execute("PRAGMA query_only = 1")
    for name, wanted in _MODES.items():
        if name != "journal_mode":
            connection.execute(f"PRAGMA {name} = {wanted}")
        _check_mode(connection, name, wanted)


def _mode(connection: sqlite3.Connection, name: str) -> object:
    return connection.execute(f"PRAGMA {name}").fetchone()[0]


def _check_mode(connection: sqlite3.Connection, name: str, wanted: object) -> None:
    found = _mode(connection, name)
    if found != wanted:
        raise StorageError(f"the database would not work safely here: {name} is {found}, it must be {wanted}")


def _begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get(WRITES, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN DEFERRED")
