"""A crib with hostile text in it that no command would have let in: written behind the program's back."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing
from pathlib import Path

# Words that people choose, by table.
WORDS = {
    "piece": ("home", "set_name", "note", "measured_with", "measured_by"),
    "loan": ("to_name", "job"),
    "hold": ("for_what",),
    "action": ("by_name",),
    "entry": ("note",),
    "drawer_count": ("home", "by_name"),
    "count_line": ("cause",),
    "run": ("why", "person", "job", "drawing"),
    "run_step": ("typed", "with_what", "piece", "why"),
    "run_piece": ("measured_with", "measured_by"),
}
PLACES = sum(map(len, WORDS.values()))


def spoil(crib: Path, strings: Sequence[str]) -> None:
    """Write a text into each of the places, in every row."""
    texts = iter(strings)
    with closing(sqlite3.connect(crib)) as connection, connection:
        # NUL ends a text for SQLite, whose rules then find none.
        connection.execute("PRAGMA ignore_check_constraints = ON")
        for table, columns in WORDS.items():
            for column in columns:
                text = _bytes(next(texts))
                connection.execute(f"UPDATE {table} SET {column} = CAST(? AS TEXT)", (text,))


def other_places(crib: Path) -> list[tuple[str, str]]:
    """The table and column of each text that the program itself writes, or checks letter by letter."""
    with closing(sqlite3.connect(crib)) as connection:
        tables = [
            name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
        ]
        return [
            (table, column)
            for table in tables
            for _, column, kind, *_ in connection.execute(f"PRAGMA table_info({table})")
            if kind in ("TEXT", "VARCHAR(32)") and column not in WORDS.get(table, ())
        ]


def spoilt_in_turn(crib: Path, strings: Sequence[str]) -> Iterator[int]:
    """The crib with a text in one of the other places, in each of them in turn by number; it is as it was afterwards."""
    sound = crib.read_bytes()
    for place, (table, column) in enumerate(other_places(crib)):
        with closing(sqlite3.connect(crib)) as connection, connection:
            connection.execute("PRAGMA ignore_check_constraints = ON")
            # One row, for no two may have the same tag or name.
            connection.execute(
                f"UPDATE {table} SET {column} = CAST(? AS TEXT) WHERE rowid = (SELECT max(rowid) FROM {table})",
                (_bytes(strings[place % len(strings)]),),
            )
        yield place
        crib.write_bytes(sound)


def _bytes(text: str) -> bytes:
    # The database itself holds none of over 200 characters and none that is empty.
    return (text[:200] or "x").encode("utf-8", "surrogatepass")
