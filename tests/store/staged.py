"""What the commands on stage do: each writes something of its own, and tells whether it is all there or not at all."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Callable, Sequence
from contextlib import closing
from datetime import date
from pathlib import Path

from broachplan import places
from broachplan.store import schema
from broachplan.store.backup import back_up, read_backup
from broachplan.store.check import check
from broachplan.store.csv_form import needed_columns
from broachplan.tooling.figures import Kind

PIECES = 60
REVISION = """
import sqlalchemy as sa
from alembic import op
revision, down_revision = "next", "{before}"
def upgrade():
    with op.batch_alter_table("setting") as batch:
        batch.add_column(sa.Column("maker", sa.Text, server_default="", nullable=False))
    op.create_table("later", sa.Column("id", sa.Integer, primary_key=True))
"""


def migrations_with_one_more(folder: Path) -> Path:
    """A copy of the migrations with the revision ``next`` after the last."""
    shutil.copytree(places.migrations(), folder, ignore=shutil.ignore_patterns("__pycache__"))
    (folder / "versions" / "2031_05_02_next.py").write_text(REVISION.format(before=schema.current()))
    return folder


def contents(db: Path) -> list[str]:
    """Everything in a crib, as SQL; a write cut short is undone first."""
    with closing(sqlite3.connect(db)) as connection:
        return list(connection.iterdump())


class Act:
    """One command on the crib ``db``. `prepare` gives its arguments; `happened` looks what came of it, once."""

    def __init__(self, db: Path) -> None:
        self.db = db
        self.number = 0

    def prepare(self) -> Sequence[str]:
        """Set the stage for the next run."""
        self.number += 1
        return [*self._prepared(), "--db", str(self.db)]

    def happened(self) -> bool:
        """Whether all of it was done; False where nothing was. Anything else fails an assertion."""
        raise AssertionError("each act has its own")

    def _prepared(self) -> Sequence[str]:
        raise AssertionError("each act has its own")


class SetSetting(Act):
    """``settings set``, to another value each time."""

    def _prepared(self) -> Sequence[str]:
        self._before = contents(self.db)
        self._value = str(20 + self.number % 40)
        return ["settings", "set", "hardness_hrc", self._value]

    def happened(self) -> bool:
        row = f"INSERT INTO \"setting\" VALUES('hardness_hrc','{self._value}');"
        others = [line for line in self._before if "hardness_hrc" not in line]
        now = contents(self.db)
        assert check(str(self.db)) == ()
        assert now == self._before or sorted(now) == sorted([*others, row])
        return row in now


class Import(Act):
    """``crib import`` of `PIECES` new shims."""

    def _prepared(self) -> Sequence[str]:
        self._before = contents(self.db)
        columns = needed_columns(Kind.SHIM)
        file = self.db.parent / "shims.csv"
        rows = [
            ",".join({"tag": f"S{self.number}-{each}", "width": "0.25 in"}.get(name, "") for name in columns)
            for each in range(PIECES)
        ]
        file.write_text("\n".join([",".join(columns), *rows, ""]))
        return ["crib", "import", str(file)]

    def happened(self) -> bool:
        now = contents(self.db)
        assert check(str(self.db)) == ()
        if now == self._before:
            return False
        assert set(self._before) <= set(now)
        for table in ("piece", "shim"):
            added = [
                line for line in set(now) - set(self._before) if line.startswith(f'INSERT INTO "{table}" ')
            ]
            assert len(added) == PIECES
        return True


class BackUp(Act):
    """``data backup`` over the backup of before."""

    def _prepared(self) -> Sequence[str]:
        self._file = self.db.parent / "kept.backup"
        with closing(sqlite3.connect(self.db)) as connection, connection:
            connection.execute("UPDATE piece SET note = ?", (f"note {self.number}",))
        self._before = self._held()
        self._crib = self.db.read_bytes()
        return ["data", "backup", str(self._file), "--overwrite"]

    def happened(self) -> bool:
        assert self.db.read_bytes() == self._crib
        held, now = self._held(), contents(self.db)
        assert held in (self._before, now)
        return held == now

    def _held(self) -> list[str]:
        if not self._file.exists():
            return []
        with closing(sqlite3.connect(":memory:")) as connection:
            connection.deserialize(read_backup(self._file).content)
            return list(connection.iterdump())


class Restore(Act):
    """``data restore`` of a crib that was changed since."""

    def _prepared(self) -> Sequence[str]:
        file = self.db.parent / "other.backup"
        if not file.exists():
            back_up(str(self.db), file, date(2031, 5, 2))
        self._aim = read_backup(file).content
        with closing(sqlite3.connect(self.db)) as connection, connection:
            connection.execute("UPDATE piece SET note = ?", (f"note {self.number}",))
        self._now = self.db.read_bytes()
        for aside in self._asides():
            aside.unlink()
        return ["data", "restore", str(file)]

    def happened(self) -> bool:
        content = self.db.read_bytes()
        assert content in (self._now, self._aim)
        if content == self._now:
            return False
        (aside,) = self._asides()
        assert aside.read_bytes() == self._now
        return True

    def _asides(self) -> list[Path]:
        return list(self.db.parent.glob("crib-*.db"))


class Upgrade(Act):
    """``data upgrade`` of a crib of the revision of today to one that is made up."""

    def _prepared(self) -> Sequence[str]:
        today = self.db.with_name("today")
        if not today.exists():
            shutil.copy(self.db, today)
        for old in self.db.parent.glob("crib*.db*"):
            old.unlink()
        shutil.copy(today, self.db)
        self._before = contents(self.db)
        return ["data", "upgrade"]

    def happened(self) -> bool:
        for copy in self.db.parent.glob("crib-*.db"):
            assert contents(copy) == self._before
        now = contents(self.db)
        if now == self._before:
            return False
        (copy,) = self.db.parent.glob("crib-*.db")
        pieces = [line for line in self._before if line.startswith('INSERT INTO "piece" ')]
        assert set(pieces) <= set(now)
        assert any("'next'" in line for line in now)
        assert any("CREATE TABLE later" in line for line in now)
        return True


ACTS: dict[str, Callable[[Path], Act]] = {
    "settings set": SetSetting,
    "crib import": Import,
    "data backup": BackUp,
    "data restore": Restore,
    "data upgrade": Upgrade,
}
