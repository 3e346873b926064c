"""Write runs, their steps and their pieces as CSV files."""

from __future__ import annotations

from dataclasses import dataclass
from os.path import isdir
from pathlib import Path

from broachplan.desks.machinist.runs.keeping import seen_run
from broachplan.questions.runs import RunExportRequest
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


def export_runs(db: str | None, request: RunExportRequest) -> ExportedRuns:
    """Write all runs, or one by its number or code, into ``runs.csv``, ``steps.csv`` and ``run_pieces.csv``.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.

    Raises
    ------
    InputError : no such run, or the files cannot be written, and then all are as they were; a ThereAlreadyError where
        files have the names.
    StorageError : the database cannot be used.
    """
    folder, run = Path(request.folder), request.run.strip()
    paths = run_paths(folder)
    # Unlike the path's own question, this one is answered no for a name that no folder can have.
    if isdir(folder):
        check_places(paths, "export", crib_files(located(db)), overwrite=request.overwrite)
    with reading(db) as work:
        if run:
            runs = [seen_run(work, run)[0]]
        else:
            runs = [found for number in run_numbers(work) if (found := load_run(work, number))]
    return ExportedRuns(len(runs), write_runs(folder, runs, overwrite=request.overwrite))
