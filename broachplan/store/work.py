"""The unit of work: one short transaction, rolled back unless it is committed. Nothing outlives its block."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DBAPIError

from broachplan.errors import BroachplanError, StorageError
from broachplan.store import schema
from broachplan.store.causes import is_forbidden, may_make_no_tables
from broachplan.store.engine import WRITES, engine_for
from broachplan.store.location import Location, located, make_file
from broachplan.store.transaction import Work, one_moment, told


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
def _opened(db: str | None, *, writes: bool) -> Iterator[Work]:
    location = located(db)
    make_file(location)
    engine = engine_for(location)
    try:
        with told(location, writes=writes), engine.connect() as connection:
            if not writes:
                one_moment(connection)
            ready(engine, connection.execution_options(**{WRITES: writes}), location)
            yield Work(connection, location, writes=writes)
    except StorageError:
        raise
    except Exception as error:
        _blame(error, location)
        raise


def _blame(error: Exception, location: Location) -> None:
    """Raise `StorageError` where the crib itself is the reason for what went wrong in a unit of work.

    On a damaged crib a row may make no sense to the program, and a tag that is there may not be found: neither is
    the program's fault, nor the user's.
    """
    # Needed only here: most commands never load it.
    from broachplan.store.check import damage, first_finding

    # A refusal is common, so that only SQLite itself is asked; it takes a hundredth of the time.
    found = damage(location) if isinstance(error, BroachplanError) else first_finding(location)
    if found:
        raise StorageError(
            f"{location.name} fails its check ({found}); `broachplan data check` lists all that is wrong, `broachplan data restore` puts a backup back"
        ) from error


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
