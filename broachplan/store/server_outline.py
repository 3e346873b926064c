"""A schema on a database server, part by part, so that it can be compared with what a new crib would have.

The words of a CHECK are not compared: each version of the server writes them down in its own way. That every row keeps
every CHECK is asked of the rows.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from sqlalchemy import (
    CheckConstraint,
    Column,
    Connection,
    ForeignKeyConstraint,
    Index,
    PrimaryKeyConstraint,
    Table,
    UniqueConstraint,
    inspect,
)

from broachplan.store.schema import VERSION
from broachplan.store.tables import METADATA


def outline_on_server(connection: Connection) -> dict[str, str]:
    """Each table, column, constraint and index of the schema that ``connection`` works in, and what it is."""
    found = inspect(connection)
    outline: dict[str, str] = {f"view {name}": "" for name in found.get_view_names()}
    for (_, table), columns in found.get_multi_columns().items():
        outline[f"table {table}"] = ""
        for column in columns:
            kind = str(column["type"].compile(connection.dialect))
            outline[f"column {table}.{column['name']}"] = _column(kind, column["nullable"], column["default"])
    for (_, table), key in found.get_multi_pk_constraint().items():
        outline[f"constraint {key['name']}"] = _of("key", table, key["constrained_columns"])
    for (_, table), each in found.get_multi_unique_constraints().items():
        outline |= {f"constraint {one['name']}": _of("unique", table, one["column_names"]) for one in each}
    for (_, table), rules in found.get_multi_check_constraints().items():
        outline |= {f"constraint {one['name']}": _of("rule", table, ()) for one in rules}
    for (_, table), keys in found.get_multi_foreign_keys().items():
        outline |= {f"constraint {one['name']}": _reference(table, one) for one in keys}
    for (_, table), indexes in found.get_multi_indexes().items():
        outline |= {f"index {one['name']}": _found_index(table, one) for one in indexes if not _doubles(one)}
    return outline


def expected_on_server(connection: Connection) -> dict[str, str]:
    """What `outline_on_server` gives for a new crib."""
    outline: dict[str, str] = {}
    for table in (*METADATA.sorted_tables, VERSION):
        outline[f"table {table.name}"] = ""
        outline |= {f"column {table.name}.{column.name}": _wanted(column, connection) for column in table.c}
        outline |= _constraints(table)
        outline |= {f"index {index.name}": _wanted_index(index) for index in table.indexes}
    return outline


def _constraints(table: Table) -> dict[str, str]:
    outline = {}
    for one in table.constraints | {rule for column in table.c for rule in column.constraints}:
        name = f"constraint {one.name}"
        if isinstance(one, PrimaryKeyConstraint):
            outline[name] = _of("key", table.name, [column.name for column in one.columns])
        elif isinstance(one, UniqueConstraint):
            outline[name] = _of("unique", table.name, [column.name for column in one.columns])
        elif isinstance(one, CheckConstraint):
            outline[name] = _of("rule", table.name, ())
        elif isinstance(one, ForeignKeyConstraint):
            facts = {
                "constrained_columns": [column.name for column in one.columns],
                "referred_table": one.referred_table.name,
                "referred_columns": [element.column.name for element in one.elements],
            }
            outline[name] = _reference(table.name, facts)
    return outline


def _wanted(column: Column[Any], connection: Connection) -> str:
    default = getattr(column.server_default, "arg", None)
    counted = column is column.table.autoincrement_column
    return _column(
        str(column.type.compile(connection.dialect)),
        bool(column.nullable),
        "nextval" if counted else None if default is None else str(default),
    )


def _column(kind: str, nullable: bool, default: str | None) -> str:
    # The server writes types into a default, and names the sequence that counts.
    plain = re.sub(r"::\w+", "", default or "").partition("(")[0]
    return f"{kind} {'null' if nullable else 'not null'} {plain}".strip()


def _of(what: str, table: str, columns: Iterable[str]) -> str:
    return f"{what} of {table}({', '.join(columns)})"


def _reference(table: str, facts: Mapping[str, Any]) -> str:
    to = f"{facts['referred_table']}({', '.join(facts['referred_columns'])})"
    return f"{_of('reference', table, facts['constrained_columns'])} to {to}"


def _doubles(index: Mapping[str, Any]) -> bool:
    """Whether it belongs to a constraint, which is listed by itself."""
    return bool(index.get("duplicates_constraint"))


def _found_index(table: str, index: Mapping[str, Any]) -> str:
    where = str(index.get("dialect_options", {}).get("postgresql_where", ""))
    return _index(table, index["column_names"], index["unique"], where)


def _wanted_index(index: Index) -> str:
    assert index.table is not None
    where = index.dialect_options["postgresql"]["where"]
    names = [column.name for column in index.columns]
    return _index(index.table.name, names, bool(index.unique), "" if where is None else str(where))


def _index(table: str, columns: Iterable[str | None], unique: bool, where: str) -> str:
    names = [name or "an expression" for name in columns]
    return f"{_of('unique' if unique else 'index', table, names)} {where.strip('()')}".strip()
