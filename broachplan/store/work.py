"""The unit of work: one short transaction, rolled back unless it is committed. Nothing outlives its block."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from types import ModuleType

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DBAPIError

from broachplan.errors import CribStateError, InputError, StorageError
from broachplan.store import schema
from broachplan.store.causes import is_forbidden, may_make_no_tables
from broachplan.store.engine import WRITES, engine_for
from broachplan.store.location import Location, check_writes, located, make_file
from broachplan.store.transaction import Work, as_user_errors, one_moment

# What a command makes of a crib when its unit of work is over may still fail on what was read from it.
_last_used: Location | None = None


@contextmanager
def reading(db: str | None, *, to_write: bool = False) -> Iterator[Work]:
    """A snapshot of the crib to read from; a new or empty database is set up first.

    ``to_write``: what is read decides on a change that follows, so a crib that must not be changed is refused now.

    Raises
    ------
    StorageError : the database cannot be used, or is of another revision.
    """
    if to_write:
        check_writes(located(db))
    with _opened(db, writes=False) as work:
        yield work


@contextmanager
def writing(db: str | None) -> Iterator[Work]:
    """A transaction that holds the write lock from its start and is rolled back unless committed; see `reading`."""
    with _opened(db, writes=True) as work:
        yield work


@contextmanager
def _opened(db: str | None, *, writes: bool) -> Iterator[Work]:
    global _last_used
    location = located(db)
    _last_used = location
    if writes:
        check_writes(location)
    make_file(location)
    engine = engine_for(location)
    try:
        with as_user_errors(location, writes=writes), engine.connect() as connection:
            if not writes:
                one_moment(connection)
            ready(engine, connection.execution_options(**{WRITES: writes}), location)
            yield Work(connection, location, writes=writes)
    except (InputError, CribStateError) as error:
        # A tag that is there may not be found in a damaged file. SQLite's own check takes a tenth of the time of the
        # whole one, and refusals are common.
        if found := _check().damage(location):
            raise _failed(location, found) from error
        raise


def blamed(error: Exception) -> Exception:
    """What a fault of the program is to be reported as: `StorageError` where the crib used last fails its check.

    A damaged row may make no sense to the program; what it makes of it then is no fault of its own.
    """
    if _last_used is not None and (found := _check().first_finding(_last_used)):
        return _failed(_last_used, found)
    return error


def _failed(location: Location, found: str) -> StorageError:
    return StorageError(
        f"{location.name} fails its check ({found}); `broachplan data check` lists all that is wrong, `broachplan data restore` puts a backup back"
    )


def _check() -> ModuleType:
    """The check, which most commands need not load."""
    from broachplan.store import check

    return check


def ready(engine: Engine, connection: Connection, location: Location) -> None:
    """Leave ``connection`` in a transaction on a database of the current revision, set up if it was empty."""
    found = schema.revision_of(connection)
    if found is None and schema.is_empty(connection):
        check_writes(location)
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
