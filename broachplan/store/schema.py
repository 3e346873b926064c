"""The revision of the schema that this program works with, and setting up a new database."""

from __future__ import annotations

from sqlalchemy import (
    Column,
    Connection,
    MetaData,
    PrimaryKeyConstraint,
    String,
    Table,
    func,
    inspect,
    select,
)

from broachplan.errors import StorageError
from broachplan.store.location import Location
from broachplan.store.tables import METADATA

# Oldest first; the last is the one this program works with. A test holds them to the revisions in migrations/.
REVISIONS = (
    "20261124a",
    "20261125a",
    "20261125b",
    "20261128a",
    "20261128b",
    "20261128c",
    "20261129a",
    "20261129b",
    "20261129c",
    "20261129d",
)
# The migrations' own mark, in the form that Alembic gives it.
VERSION = Table(
    "alembic_version",
    MetaData(),
    Column("version_num", String(32), nullable=False),
    PrimaryKeyConstraint("version_num", name="alembic_version_pkc"),
)


def current() -> str:
    """The revision this program works with."""
    return REVISIONS[-1]


def revision_of(connection: Connection) -> str | None:
    """The database's revision; None where it bears none."""
    if connection.dialect.name == "postgresql":
        # Asked before everything else, so by the quickest way.
        there = connection.scalar(select(func.to_regclass(VERSION.name))) is not None
    else:
        there = inspect(connection).has_table(VERSION.name)
    if not there:
        return None
    return connection.scalar(select(VERSION.c.version_num))


def is_empty(connection: Connection) -> bool:
    """Whether the database holds no table at all."""
    return not inspect(connection).get_table_names()


def set_up(connection: Connection) -> None:
    """Make every table in an empty database, within a transaction that holds the write lock; another may have been first."""
    if is_empty(connection):
        make_tables(connection)


def make_tables(connection: Connection) -> None:
    """Make every table, and say of which revision they are."""
    METADATA.create_all(connection, checkfirst=False)
    VERSION.create(connection, checkfirst=False)
    connection.execute(VERSION.insert().values(version_num=current()))


def check_revision(found: str | None, location: Location) -> None:
    """Raise `StorageError` unless the database is of the current revision."""
    if found == current():
        return
    if found is None:
        raise StorageError(f"{location.name} is a database, but not a crib of broachplan")
    if found in REVISIONS:
        raise StorageError(
            f"{location.name} is of the older revision {found}; run `broachplan data upgrade` (it makes a copy first)"
        )
    raise StorageError(
        f"{location.name} is of revision {found}, which this broachplan does not know (it works with {current()}); use a newer broachplan"
    )
