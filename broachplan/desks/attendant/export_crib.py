"""Write the crib as CSV files, or as one workbook."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from broachplan.store.export import all_records, names_book, write_book, write_files
from broachplan.store.work import reading


@dataclass(frozen=True, slots=True)
class Exported:
    """How many pieces went into which files."""

    pieces: int
    files: tuple[Path, ...]


def export_crib(db: str | None, to: Path, *, xlsx: bool = False) -> Exported:
    """Write all pieces that are not retired; importing them into a new crib gives the same pieces.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    to : a folder for six CSV files, made if it is missing; or the name of a workbook, which ends in ``.xlsx``.
    xlsx : write one workbook into the folder in place of the files.

    Raises
    ------
    InputError : the folder or file cannot be written, or there is nothing here that writes workbooks.
    StorageError : the database cannot be used.
    """
    with reading(db) as work:
        records = all_records(work)
    files = (write_book(to, records),) if xlsx or names_book(to) else tuple(write_files(to, records))
    return Exported(sum(map(len, records.values())), files)
