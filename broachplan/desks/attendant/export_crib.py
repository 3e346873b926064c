"""Write the crib as CSV files."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from broachplan.store.export import all_records, write_files
from broachplan.store.work import reading


@dataclass(frozen=True, slots=True)
class Exported:
    """How many pieces went into which files."""

    pieces: int
    files: tuple[Path, ...]


def export_crib(db: str | None, folder: Path) -> Exported:
    """Write six files into ``folder``; importing them into a new crib gives the same pieces.

    Raises
    ------
    InputError : the folder cannot be written to.
    StorageError : the database cannot be used.
    """
    with reading(db) as work:
        records = all_records(work)
    files = tuple(write_files(folder, records))
    return Exported(sum(map(len, records.values())), files)
