"""Databases of the tests' own, on whichever of the two the run is about.

A plain run makes SQLite files. With ``--database postgresql`` the run has a server, passed to its workers by
`VARIABLE`, and a new database there is a copy of one that was prepared once.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import count
from pathlib import Path
from typing import Any

from broachplan.store.engine import engine_for
from broachplan.store.location import located
from broachplan.store.tables import METADATA
from broachplan.store.work import reading
from tests.ground import emptied
from tests.store.cribs import fill, small_crib

VARIABLE = "BROACHPLAN_TEST_SERVER"
KEEPER = "toolroom"
_in_use: set[int] = set()
_prepared: dict[str, Path | str] = {}


def on_server() -> bool:
    """Whether this run is about PostgreSQL."""
    return VARIABLE in os.environ


def examples(on_files: int) -> int:
    """How many examples of a law to try here: a database on the server takes longer to make and to ask."""
    return max(2, on_files // 2) if on_server() else on_files


def url_of(name: str, user: str = KEEPER, password: str = "") -> str:
    """The URL of a database on the run's server; ``user`` and ``password`` as written in a URL."""
    who = f"{user}:{password}" if password else user
    return f"postgresql+psycopg://{who}@/{name}?host={os.environ[VARIABLE]}"


def ask(sql: str, *, database: str = "postgres", user: str = "postgres") -> list[tuple[Any, ...]]:
    """Run one statement outside of any transaction, as the server's own administrator unless another is named."""
    import psycopg

    where = {"host": os.environ[VARIABLE], "dbname": database, "user": user}
    with psycopg.connect(**where, autocommit=True) as connection:
        cursor = connection.execute(sql.encode())
        return cursor.fetchall() if cursor.description else []


def name_in(url: str) -> str:
    """The name of the database that a URL names."""
    return url.partition("?")[0].rpartition("/")[2]


def _empty(_name: str) -> None:
    """Nothing at all is in it, not even tables."""


def _new(db: str) -> None:
    with reading(db):
        pass


def _filled(db: str) -> None:
    fill(db, small_crib())


_KINDS: dict[str, Callable[[str], None]] = {"empty": _empty, "new": _new, "filled": _filled}


@contextmanager
def database(kind: str, file: Path) -> Iterator[str]:
    """A database of a kind: ``empty`` (a file is not even there), ``new`` without pieces, ``filled`` with a few."""
    if not on_server():
        if kind == "filled":
            shutil.copy(_file(kind), file)
        yield str(file)
        return
    # Names are used again: what the program remembers of the statements for a name then serves the next test too.
    number = next(number for number in count(1) if number not in _in_use)
    _in_use.add(number)
    name = f"test_{os.getpid()}_{number}"
    ask(f"CREATE DATABASE {name} TEMPLATE {_template(kind)} STRATEGY FILE_COPY OWNER {KEEPER}")
    try:
        yield url_of(name)
    finally:
        ask(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")
        _in_use.discard(number)


def _file(kind: str) -> Path:
    """A file to copy, prepared when the first test asks for it."""
    if kind not in _prepared:
        path = emptied(f"prepared {kind}") / "crib.db"
        _KINDS[kind](str(path))
        _prepared[kind] = path
    return Path(_prepared[kind])


def _template(kind: str) -> str:
    """A database to copy, prepared when the first test of this process asks for it."""
    if kind not in _prepared:
        name = f"{kind}_{os.getpid()}"
        ask(f"CREATE DATABASE {name} TEMPLATE template0 OWNER {KEEPER}")
        _KINDS[kind](url_of(name))
        _prepared[kind] = name
    return str(_prepared[kind])


def forget() -> None:
    """What was prepared goes with the ground it lies on, or with the server."""
    _prepared.clear()


def contents(db: str) -> dict[str, list[tuple[Any, ...]]]:
    """Every row of every table of a crib, to be compared with what is there later."""
    with engine_for(located(db)).connect() as connection:
        return {
            table.name: [
                tuple(row) for row in connection.execute(table.select().order_by(*table.primary_key.columns))
            ]
            for table in METADATA.sorted_tables
        }


def execute(db: str, *statements: str) -> None:
    """Write to a crib behind the program's back, all or nothing."""
    with engine_for(located(db)).begin() as connection:
        for statement in filter(str.strip, statements):
            connection.exec_driver_sql(statement)
