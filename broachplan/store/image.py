"""A crib as the bytes of a SQLite file, whatever kind of database it lives in: what backups hold.

Every table has the columns, and every column the values, that it has on a server: whole numbers and text. So a backup
of the one kind of database restores into the other.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

from sqlalchemy import Connection, MetaData, Table, create_engine, event, select
from sqlalchemy.pool import StaticPool

from broachplan.store import schema
from broachplan.store.engine import sound_row
from broachplan.store.records_read import in_lots
from broachplan.store.revisions import migrate


@contextmanager
def opened(content: bytes = b"") -> Iterator[Connection]:
    """A SQLite database in memory, with ``content`` in it; what is written to it is not kept."""
    engine = create_engine("sqlite://", poolclass=StaticPool)
    event.listen(engine, "connect", lambda connection, _: _loaded(connection, content))
    try:
        with engine.connect() as connection:
            yield connection
    finally:
        engine.dispose()


def blank_image(revision: str) -> bytes:
    """The tables of a revision, without a row. Alembic may be needed, which cannot be asked while it runs already."""
    with opened() as memory:
        if revision == schema.current():
            schema.set_up(memory)
            memory.commit()
        else:
            migrate(memory, revision)
            memory.rollback()
        return bytes(_driver(memory).serialize())


def image_of(connection: Connection, blank: bytes) -> bytes:
    """Every row of a crib on a server, read in the transaction that ``connection`` is in, and compared once more.

    Parameters
    ----------
    blank : the `blank_image` of the crib's revision.

    Raises
    ------
    ValueError : what was written differs from what the server has.
    DBAPIError : a table or column is missing, or two rows exclude each other.
    """
    with opened(blank) as memory:
        tables = tables_of(memory)
        for table in tables:
            memory.execute(table.delete())
        # A row that breaks a rule of its table is kept as it is: a copy is wanted then most.
        memory.exec_driver_sql("PRAGMA ignore_check_constraints = ON")
        copy_rows(connection, memory, tables)
        memory.commit()
        check_copied(connection, memory, tables)
        return bytes(_driver(memory).serialize())


def at_current(memory: Connection, revision: str) -> None:
    """Bring a crib in memory to the revision of this program."""
    if revision != schema.current():
        memory.rollback()
        migrate(memory, "head")


def tables_of(connection: Connection) -> Sequence[Table]:
    """The tables that are there, each after those it refers to."""
    metadata = MetaData()
    metadata.reflect(connection)
    return metadata.sorted_tables


def copy_rows(source: Connection, target: Connection, tables: Sequence[Table]) -> None:
    """Copy every row, in the order of the keys."""
    for table in tables:
        for rows in in_lots(source.execute(_query(table)).mappings()):
            target.execute(table.insert(), [dict(row) for row in rows])


def check_copied(source: Connection, target: Connection, tables: Sequence[Table]) -> None:
    """Raise `ValueError` unless both databases hold the same in every table."""
    for table in tables:
        # Two databases may differ in the order of text.
        found, wanted = (
            sorted(map(tuple, each.execute(_query(table))), key=repr) for each in (target, source)
        )
        if found != wanted:
            raise ValueError(f"the rows of {table.name} that were read back are not those that were written")


def _query(table: Table) -> Any:
    return select(table).order_by(*table.primary_key.columns)


def _loaded(connection: sqlite3.Connection, content: bytes) -> None:
    connection.row_factory = sound_row
    if content:
        connection.deserialize(content)


def _driver(connection: Connection) -> sqlite3.Connection:
    driver = connection.connection.driver_connection
    assert isinstance(driver, sqlite3.Connection)
    return driver
