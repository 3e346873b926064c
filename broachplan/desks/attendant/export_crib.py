"""Write the crib as CSV files, or as one workbook."""

from __future__ import annotations

from dataclasses import dataclass
from os.path import isdir
from pathlib import Path

from broachplan.questions.files import ExportRequest
from broachplan.store.backup import crib_files
from broachplan.store.export import all_records, export_paths, names_book, write_book, write_files
from broachplan.store.location import located
from broachplan.store.whole_file import check_places
from broachplan.store.work import reading


@dataclass(frozen=True, slots=True)
class Exported:
    """How many pieces went into which files."""

    pieces: int
    files: tuple[Path, ...]


def export_crib(db: str | None, request: ExportRequest) -> Exported:
    """Write all pieces that are not retired; importing them into a new crib gives the same pieces.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.

    Raises
    ------
    InputError : the folder or a file cannot be written, and then all files are as they were, or there is nothing here
        that writes workbooks; a ThereAlreadyError where files have the names.
    StorageError : the database cannot be used.
    """
    to, overwrite = Path(request.folder), request.overwrite
    paths = export_paths(to, xlsx=request.xlsx)
    # Unlike the path's own question, this one is answered no for a name that no folder can have.
    if to in paths or isdir(to):
        check_places(paths, "export", crib_files(located(db)), overwrite=overwrite)
    with reading(db) as work:
        records = all_records(work)
    if request.xlsx or names_book(to):
        files: tuple[Path, ...] = (write_book(to, records, overwrite=overwrite),)
    else:
        files = write_files(to, records, overwrite=overwrite)
    return Exported(sum(map(len, records.values())), files)
