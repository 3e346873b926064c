"""A crib written as CSV files, or as one workbook, that read back as the same crib."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from broachplan.crib.records import Condition, Record
from broachplan.errors import InputError, quoted
from broachplan.private import make_one_private_folder
from broachplan.questions.piece import YES, as_typed
from broachplan.store.cell_guard import guarded
from broachplan.store.csv_columns import (
    BOOK_NAME,
    FILE_NAMES,
    MADE_HERE,
    MEASURED,
    further_columns,
    is_inspected,
    usual_columns,
)
from broachplan.store.csv_file import check_name
from broachplan.store.location import reason
from broachplan.store.records_read import read_kind
from broachplan.store.transaction import Work
from broachplan.store.whole_file import write_named
from broachplan.store.xlsx_file import as_book
from broachplan.tooling.figures import Kind

# A day is what a spreadsheet may take it for; everything else is to stay what it is.
_LEFT_AS_IT_IS = ("measured_on",)


def all_records(work: Work) -> dict[Kind, list[Record]]:
    """Every piece that is not retired, by kind and tag."""
    return {kind: read_kind(work, kind) for kind in Kind}


def table_of(kind: Kind, records: Iterable[Record]) -> list[list[str]]:
    """The records of one kind in the form that an import reads, the header first, figures exact.

    An optional column is written only if it says something.
    """
    rows = [_cells(record) for record in records]
    columns = [
        *usual_columns(kind),
        *(name for name in further_columns(kind) if _is_needed(kind, name, rows)),
    ]
    return [columns, *([row[column] for column in columns] for row in rows)]


def as_csv(kind: Kind, records: Iterable[Record]) -> str:
    """The records of one kind as CSV; what a spreadsheet would change has an apostrophe before it."""
    header, *rows = table_of(kind, records)
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(header)
    left = [name in _LEFT_AS_IT_IS for name in header]
    for row in rows:
        writer.writerow(
            [cell if as_it_is else guarded(cell) for cell, as_it_is in zip(row, left, strict=True)]
        )
    return text.getvalue()


def export_paths(to: Path, *, xlsx: bool = False) -> tuple[Path, ...]:
    """Where an export writes: a file that is named as a workbook is; else in a folder, files of the usual names.

    Raises
    ------
    InputError : no file can have such a name.
    """
    check_name(to)
    if names_book(to):
        return (to,)
    return tuple(to / name for name in ((BOOK_NAME,) if xlsx else FILE_NAMES.values()))


def write_files(
    folder: Path, records: Mapping[Kind, Iterable[Record]], *, overwrite: bool = False
) -> tuple[Path, ...]:
    """Write a file for each kind into ``folder``, which is made if it is missing: all of them or none.

    Raises
    ------
    InputError : the folder or a file in it cannot be written.
    ThereAlreadyError : a file is there, and ``overwrite`` is not given.
    """
    make_folder(folder)
    paths = export_paths(folder)
    texts = (as_csv(kind, of_kind).encode() for kind, of_kind in records.items())
    write_named(dict(zip(paths, texts, strict=True)), overwrite=overwrite)
    return paths


def write_book(to: Path, records: Mapping[Kind, Iterable[Record]], *, overwrite: bool = False) -> Path:
    """Write one workbook with a sheet for each kind, whole or not at all.

    Parameters
    ----------
    to : a file that is named as a workbook is; else a folder, made if it is missing, for one of the usual name.
    overwrite : whether a file that is there is replaced.

    Raises
    ------
    InputError : it cannot be written, or a text cannot be in a workbook.
    ThereAlreadyError : a file is there, and ``overwrite`` is not given.
    """
    with _writing(to):
        # The library writes files of its own on the way.
        book = as_book((kind.plural, table_of(kind, of_kind)) for kind, of_kind in records.items())
    if not names_book(to):
        make_folder(to)
    (path,) = export_paths(to, xlsx=True)
    write_named({path: book}, overwrite=overwrite)
    return path


def names_book(to: Path) -> bool:
    """Whether one workbook is meant, and not a folder."""
    return to.suffix.lower() == ".xlsx" and not to.is_dir()


def make_folder(folder: Path) -> None:
    """Make a folder that may be there already; its name is on the disk before what is in it counts as written."""
    check_name(folder)
    with _writing(folder):
        if not folder.is_dir():
            make_one_private_folder(folder)


@contextmanager
def _writing(to: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        what = "" if names_book(to) else "folder "
        raise InputError(f"{what}{quoted(str(to), most=200)} cannot be written", reason(error)) from error


def _is_needed(kind: Kind, column: str, rows: Iterable[Mapping[str, str]]) -> bool:
    """Whether an optional column says something that a piece without it would not be anyway."""
    if column in MEASURED and is_inspected(kind):
        return True
    silent = Condition.FIT.value if column == "condition" else ""
    return any(row[column] != silent for row in rows)


def _cells(record: Record) -> dict[str, str]:
    return {"tag": record.piece.tag, **as_typed(record), MADE_HERE: YES if record.made_here else ""}
