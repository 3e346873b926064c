"""A schema's SQL in one form, so that two databases can be compared by meaning."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

from sqlalchemy import Connection, create_engine

from broachplan.store import schema

_QUERY = "SELECT type, name, sql FROM sqlite_master WHERE name NOT LIKE 'sqlite\\_%' ESCAPE '\\'"


def outline_of(connection: Connection) -> dict[str, str]:
    """Each table, index, trigger and view of a SQLite database, and its SQL in one form."""
    rows = connection.exec_driver_sql(_QUERY).all()
    return {f"{kind} {name}": in_one_form(sql or "") for kind, name, sql in rows}


@cache
def expected() -> dict[str, str]:
    """The outline of a new database."""
    engine = create_engine("sqlite://")
    try:
        with engine.begin() as connection:
            schema.set_up(connection)
            return outline_of(connection)
    finally:
        engine.dispose()


def differences(found: dict[str, str], wanted: dict[str, str]) -> Iterable[str]:
    """What is missing, too much, or not as it should be, in words."""
    for name in sorted(found.keys() | wanted.keys()):
        if name not in found:
            yield f"{name} is missing"
        elif name not in wanted:
            yield f"{name} does not belong there"
        elif found[name] != wanted[name]:
            yield f"{name} is not as it should be"


def in_one_form(sql: str) -> str:
    """SQL without the freedom of spaces, quotes around names, and the order of a table's columns and constraints."""
    plain = re.sub(r"\s+", " ", sql.replace('"', "").replace("`", "")).strip()
    plain = re.sub(r" ?([(),]) ?", r"\1", plain)
    start, end = plain.find("("), plain.rfind(")")
    if not plain.startswith("CREATE TABLE") or start < 0:
        return plain
    return f"{plain[:start]}({','.join(sorted(_parts(plain[start + 1 : end])))}){plain[end + 1 :]}"


def _parts(body: str) -> list[str]:
    """The comma-separated parts of a table's body, not split at commas within brackets."""
    parts, depth = [""], 0
    for sign in body:
        depth += (sign == "(") - (sign == ")")
        if sign == "," and not depth:
            parts.append("")
        else:
            parts[-1] += sign
    return parts
