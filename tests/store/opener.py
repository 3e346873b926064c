"""What one of several processes does to a database that none has set up."""

from __future__ import annotations

from multiprocessing.synchronize import Barrier

from sqlalchemy import text

from broachplan.store.work import writing


def write_one(db: str, name: str, together: Barrier) -> None:
    """Wait for the others, then write one row."""
    together.wait(timeout=60)
    with writing(db) as work:
        work.connection.execute(text("INSERT INTO setting VALUES (:name, 'x')"), {"name": name})
        work.commit()
