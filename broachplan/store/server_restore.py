"""A crib put back on a server, in one transaction. The tables that were there are kept, in a schema named by the day."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Connection, inspect, text
from sqlalchemy.exc import DBAPIError

from broachplan import saved
from broachplan.errors import StorageError
from broachplan.store import schema
from broachplan.store.causes import driver_line, is_forbidden
from broachplan.store.engine import WRITES, engine_for
from broachplan.store.image import at_current, check_copied, copy_rows, opened
from broachplan.store.location import Location
from broachplan.store.tables import METADATA
from broachplan.store.transaction import as_user_errors

_OURS = (*METADATA.tables, schema.VERSION.name)
_OWNERS = "SELECT relname, pg_get_userbyid(relowner) FROM pg_class WHERE relnamespace = current_schema()::regnamespace AND relkind = 'r'"
_OWNERSHIP = "what only the owner of the tables may do: to put them aside"
_RIGHTS = """
SELECT c.relname, c.relkind, CASE a.grantee WHEN 0 THEN '' ELSE pg_get_userbyid(a.grantee) END, a.privilege_type, a.is_grantable
FROM pg_class c, LATERAL aclexplode(c.relacl) a
WHERE c.relnamespace = current_schema()::regnamespace AND c.relkind IN ('r', 'S') AND a.grantee <> c.relowner
"""


@dataclass(frozen=True, slots=True)
class _Aside:
    """Where the tables that were there are, who owned them, and what others were allowed: the new ones get the same."""

    schema: str = ""
    owners: Sequence[Any] = ()
    rights: Sequence[Any] = ()


def restore_on_server(location: Location, content: bytes, revision: str, on: date) -> str:
    """Put a crib of a known revision on the server, as one of this program's; the schema with what was there, or "".

    Raises
    ------
    StorageError : something else is there, the account may not do it, or others use the crib; nothing was changed.
    """
    engine = engine_for(location)
    with as_user_errors(location), opened(content) as memory:
        at_current(memory, revision)
        with engine.connect().execution_options(**{WRITES: True}) as connection, connection.begin():
            aside = _put_aside(connection, location, on)
            try:
                _fill(connection, memory)
            except (DBAPIError, ValueError) as error:
                if isinstance(error, DBAPIError) and is_forbidden(error):
                    raise
                raise StorageError(
                    f"{location.name} was not restored and is as it was: {driver_line(error)}"
                ) from error
            _hand_over(connection, aside)
    saved.note()
    return aside.schema


def _put_aside(connection: Connection, location: Location, on: date) -> _Aside:
    found = schema.revision_of(connection)
    if found is None and schema.is_empty(connection):
        return _Aside()
    if found not in schema.REVISIONS:
        schema.check_revision(found, location)
    with _asking(location, _OWNERSHIP):
        # Every unit of work reads the revision first: with a lock on this table there is nobody in the middle of one.
        _do(connection, f"LOCK TABLE {schema.VERSION.name} IN ACCESS EXCLUSIVE MODE")
    owners, rights = (connection.execute(text(query)).all() for query in (_OWNERS, _RIGHTS))
    name = _free_name(connection, on)
    with _asking(location, "CREATE on the database, for a schema that keeps what is there now"):
        _do(connection, f"CREATE SCHEMA {name}")
    with _asking(location, _OWNERSHIP):
        for table in inspect(connection).get_table_names():
            if table in _OURS:
                _do(connection, f"ALTER TABLE {table} SET SCHEMA {name}")
    return _Aside(name, owners, rights)


def _free_name(connection: Connection, on: date) -> str:
    taken, first = inspect(connection).get_schema_names(), f"crib_{on:%Y_%m_%d}"
    number, name = 1, first
    while name in taken:
        number += 1
        name = f"{first}_{number}"
    return name


def _fill(connection: Connection, memory: Connection) -> None:
    schema.make_tables(connection)
    copy_rows(memory, connection, METADATA.sorted_tables)
    check_copied(memory, connection, (*METADATA.sorted_tables, schema.VERSION))
    for table in METADATA.sorted_tables:
        if (column := table.autoincrement_column) is not None:
            # Else the next piece would be given the number of one that is there.
            counter = f"pg_get_serial_sequence('{table.name}', '{column.name}')"
            _do(
                connection,
                f"SELECT setval({counter}, max({column.name})) FROM {table.name} HAVING max({column.name}) > 0",
            )


def _hand_over(connection: Connection, aside: _Aside) -> None:
    """Give the new tables to whom the old ones belonged, and allow others what they were allowed."""
    quote = connection.dialect.identifier_preparer.quote
    current = connection.scalar(text("SELECT current_user"))
    for name, owner in aside.owners:
        if name in _OURS and owner != current:
            _do(connection, f"ALTER TABLE {name} OWNER TO {quote(owner)}")
            _do(connection, f"ALTER SCHEMA {aside.schema} OWNER TO {quote(owner)}")
    made = {*_OURS, *inspect(connection).get_sequence_names()}
    for name, kind, account, what, grantable in aside.rights:
        if name in made:
            to = quote(account) if account else "PUBLIC"
            on = f"{'SEQUENCE' if kind == 'S' else 'TABLE'} {name}"
            _do(connection, f"GRANT {what} ON {on} TO {to}{' WITH GRANT OPTION' if grantable else ''}")


@contextmanager
def _asking(location: Location, what: str) -> Iterator[None]:
    """Raise an error that names the right an account lacks."""
    try:
        yield
    except DBAPIError as error:
        if not is_forbidden(error):
            raise
        raise StorageError(
            f"{location.name} was not restored and is as it was: {location.account} lacks {what}; ask the server's administrator"
        ) from error


def _do(connection: Connection, statement: str) -> None:
    connection.exec_driver_sql(statement)
