"""A crib written as CSV files that read back as the same crib."""

from __future__ import annotations

import csv
import io
import os
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from pathlib import Path

from broachplan.crib.records import Record
from broachplan.errors import InputError, quoted
from broachplan.lengths import Length, write_exact
from broachplan.quantities import Area, Force, write_area, write_force
from broachplan.store.csv_file import guarded
from broachplan.store.csv_form import FILE_NAMES, needed_columns, optional_columns
from broachplan.store.location import reason
from broachplan.store.records_read import read_kind
from broachplan.store.translate import Value
from broachplan.store.work import Work
from broachplan.tooling.figures import Kind


def all_records(work: Work) -> dict[Kind, list[Record]]:
    """Every piece that is not retired, by kind and tag."""
    return {kind: read_kind(work, kind) for kind in Kind}


def as_csv(kind: Kind, records: Iterable[Record]) -> str:
    """The records of one kind in the form that an import reads, figures exact."""
    columns = (*needed_columns(kind), *optional_columns(kind))
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    for record in records:
        cells = _cells(record)
        writer.writerow([cells[column] for column in columns])
    return text.getvalue()


def write_files(folder: Path, records: Mapping[Kind, Iterable[Record]]) -> Iterator[Path]:
    """Write the six files into ``folder``, which is made if it is missing; each file is whole or is not touched.

    Raises
    ------
    InputError : the folder or a file in it cannot be written.
    """
    try:
        folder.mkdir(exist_ok=True)
        for kind, of_kind in records.items():
            path = folder / FILE_NAMES[kind]
            _write(path, as_csv(kind, of_kind))
            yield path
    except OSError as error:
        raise InputError(
            f"folder {quoted(str(folder), most=200)} cannot be written: {reason(error)}"
        ) from error


def _write(path: Path, text: str) -> None:
    """By a file beside it that then takes its place, so that nobody ever reads half of it."""
    beside = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        with beside.open("w", encoding="utf-8", newline="") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except OSError:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
        raise


def _cells(record: Record) -> dict[str, str]:
    measured = record.measured
    words = {
        "set": record.set_name,
        "home": record.home,
        "note": record.note,
        "measured_with": measured.with_what,
        "measured_by": measured.by,
    }
    return {
        "tag": record.piece.tag,
        **{figure.name: _figure(getattr(record.piece, figure.name)) for figure in record.piece.figures()},
        **{name: guarded(text) for name, text in words.items()},
        "condition": record.condition.value,
        "measured_on": measured.on.isoformat() if measured.on else "",
    }


def _figure(value: Value | None) -> str:
    if value is None:
        return ""
    if isinstance(value, Length):
        return write_exact(value)
    if isinstance(value, Area):
        return write_area(value)
    return write_force(value) if isinstance(value, Force) else str(value)
