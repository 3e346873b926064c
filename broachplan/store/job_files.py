"""Lists of jobs read from CSV files and workbooks: rows of texts, and everything that is wrong with the files themselves."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from broachplan.errors import InputError
from broachplan.questions.jobs import COLUMNS, NEEDED
from broachplan.store.csv_file import check_name
from broachplan.store.exchange import named_files
from broachplan.store.listed_rows import ListedRow, ListForm, rows_of

_JOBS = ListForm("jobs", COLUMNS, ("number", *NEEDED))


@dataclass(frozen=True, slots=True)
class ListedJob(ListedRow):
    """One row of a list of jobs; ``number`` is the job's, which is not among the other texts."""

    number: str


@dataclass(frozen=True, slots=True)
class JobLists:
    """The rows of some files, and a line for each thing that is wrong with them."""

    rows: tuple[ListedJob, ...]
    problems: tuple[str, ...]


def read_lists(paths: Iterable[Path]) -> JobLists:
    """Read lists of jobs; what is wrong with a file, its header or a row of it is in ``problems``."""
    rows: list[ListedJob] = []
    problems: list[str] = []
    for path, name in named_files(paths):
        try:
            check_name(path)
            rows += (_job(row) for row in rows_of(path, name, _JOBS, problems))
        except InputError as error:
            problems.append(str(error))
    return JobLists(tuple(rows), tuple(problems))


def _job(row: ListedRow) -> ListedJob:
    texts = dict(row.texts)
    number = texts.pop("number")
    return ListedJob(row.where, texts, number)
