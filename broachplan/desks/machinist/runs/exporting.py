"""Write runs, their steps and their pieces as CSV files."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from broachplan.desks.machinist.runs.keeping import seen_run
from broachplan.store.backup import crib_files
from broachplan.store.location import located
from broachplan.store.run_export import run_paths, write_runs
from broachplan.store.runs import load_run, run_numbers
from broachplan.store.whole_file import check_places
from broachplan.store.work import reading


@dataclass(frozen=True, slots=True)
class ExportedRuns:
    """How many runs went into which files."""

    runs: int
    files: tuple[Path, ...]


def export_runs(db: str | None, folder: Path, run: str = "", *, overwrite: bool = False) -> ExportedRuns:
    """Write all runs, or one by its number or code, into ``runs.csv``, ``steps.csv`` and ``run_pieces.csv``.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    folder : made if it is missing.
    overwrite : replace files that are there; never a crib, whatever its name.

    Raises
    ------
    InputError : no such run, or the files cannot be written, and then all are as they were; a ThereAlreadyError where
        files have the names.
    StorageError : the database cannot be used.
    """
    paths = run_paths(folder)
    if folder.is_dir():
        check_places(paths, "export", crib_files(located(db)), overwrite=overwrite)
    with reading(db) as work:
        if run.strip():
            runs = [seen_run(work, run)[0]]
        else:
            runs = [found for number in run_numbers(work) if (found := load_run(work, number))]
    return ExportedRuns(len(runs), write_runs(folder, runs, overwrite=overwrite))
