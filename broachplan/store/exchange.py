"""Import of a crib from CSV files and workbooks: all or nothing, and every bad row reported."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from broachplan.crib.entries import Act, Stamp
from broachplan.errors import CribStateError, InputError, quoted
from broachplan.store.compare import ChangedPiece, Doubted, compare
from broachplan.store.csv_columns import BOOK_NAME, FILE_NAMES
from broachplan.store.csv_file import check_name, load, shown_name
from broachplan.store.csv_form import Filled, Source, read_form
from broachplan.store.entries import ActLine, record
from broachplan.store.location import reason
from broachplan.store.pieces import add, change
from broachplan.store.run_guard import check_change_not_in_run
from broachplan.store.settings_store import load_settings
from broachplan.store.transaction import Work
from broachplan.store.translate import figure_values, piece_values
from broachplan.store.xlsx_file import is_book, load_book

# Called with rows done and rows in all.
Progress = Callable[[int, int], None]


class ImportRefused(InputError):
    """Nothing was imported; ``lines`` name every row and cell that is wrong."""

    def __init__(self, lines: Sequence[str]) -> None:
        super().__init__("", "\n".join(lines))
        self.lines = tuple(lines)


@dataclass(frozen=True, slots=True)
class Imported:
    """What an import did."""

    added: int
    changed: tuple[ChangedPiece, ...]
    unchanged: int

    @property
    def lines(self) -> tuple[str, ...]:
        """How many pieces were added, changed and as before; then what changed on each of those that did."""
        counted = f"{self.added} added, {len(self.changed)} changed, {self.unchanged} as before"
        return (counted, *(each.words for each in self.changed))


@dataclass(frozen=True, slots=True)
class ImportPreview:
    """What an import would do: ``added`` pieces by kind and tag, those that it would change, how many stay as they are.

    ``refused`` rows would have to be put right; ``older`` and ``jumps`` are refused as long as nobody says to take them.
    """

    added: tuple[str, ...]
    changed: tuple[ChangedPiece, ...]
    unchanged: int
    refused: tuple[str, ...] = ()
    older: tuple[str, ...] = ()
    jumps: tuple[str, ...] = ()

    @property
    def refusals(self) -> tuple[str, ...]:
        """The lines on what the import would refuse."""
        return (*self.refused, *self.older, *self.jumps)

    @property
    def lines(self) -> tuple[str, ...]:
        """How many pieces would be added, changed, and stay, and what is refused; then what of each."""
        lines = self.refusals
        refused = f", {len(lines)} refused" if lines else ""
        return (
            f"preview, nothing is written: {len(self.added)} to add, {len(self.changed)} to change, {self.unchanged} as before{refused}",
            *(f"to add: {tag}" for tag in self.added),
            *(f"to change: {each.words}" for each in self.changed),
            *(f"refused: {line}" for line in lines),
        )


@dataclass(frozen=True, slots=True)
class Incoming:
    """Files read and not yet compared with the crib."""

    files: tuple[Filled, ...]
    problems: tuple[str, ...]


def read_files(paths: Iterable[Path], progress: Progress | None = None) -> Incoming:
    """Read CSV files and workbooks, or those of a folder that an export writes; what is wrong is in ``problems``."""
    problems: list[str] = []
    sources: list[Source] = []
    for path, name in named_files(_files(paths, problems)):
        try:
            sources += load_book(path, name) if is_book(path) else [load(path, name)]
        except InputError as error:
            problems.append(str(error))
    filled: list[Filled] = []
    total, done = sum(source.lines for source in sources), 0
    for source in sources:
        try:
            filled.append(read_form(source, _from(done, total, progress)))
        except InputError as error:
            problems.append(str(error))
        done += source.lines
    problems += [problem for file in filled for problem in file.problems]
    problems += _repeated(filled)
    return Incoming(tuple(filled), tuple(problems))


def put(work: Work, incoming: Incoming, stamp: Stamp, *, older: bool = False, sure: bool = False) -> Imported:
    """Add what is new and change what is different, with an entry for each piece; the caller commits.

    ``older`` takes figures that were measured before the crib's own, ``sure`` those that jump.

    Raises
    ------
    ImportRefused : anything is wrong in any file, a tag is another kind's or was retired, or figures are older than the
        crib's or jump; nothing is written.
    CribStateError : a figure or the condition of a piece that is in use in a run would be another; nothing is written.
    """
    compared = [compare(work, file) for file in incoming.files]
    doubted = Doubted(compared, load_settings(work).shown_in, older=older, sure=sure)
    problems = [*incoming.problems, *(problem for each in compared for problem in each.problems)]
    problems += [*doubted.older, *doubted.jumps]
    if problems:
        raise ImportRefused(problems)
    lines: list[ActLine] = []
    for each in compared:
        ids = add(
            work, each.kind, [(piece_values(record), figure_values(record.piece)) for record in each.new]
        )
        check_change_not_in_run(work, each.kind, [(row.id, row.changes) for row in each.different])
        change(work, each.kind, [(row.id, row.after) for row in each.different])
        lines += [ActLine(id, Act.RECEIVED) for id in ids]
        lines += [ActLine(row.id, Act.CHANGED, row.changes) for row in each.different]
    record(work, stamp, lines)
    added = sum(len(each.new) for each in compared)
    changed = tuple(row.changed for each in compared for row in each.different)
    return Imported(added, changed, sum(each.unchanged for each in compared))


def preview(work: Work, incoming: Incoming, *, older: bool = False, sure: bool = False) -> ImportPreview:
    """What `put` would do, and what it would refuse; nothing is written.

    Raises
    ------
    ImportRefused : no file can be read.
    """
    if not incoming.files:
        raise ImportRefused(incoming.problems)
    compared = [compare(work, file) for file in incoming.files]
    doubted = Doubted(compared, load_settings(work).shown_in, older=older, sure=sure)
    refused = [*incoming.problems, *(problem for each in compared for problem in each.problems)]
    for each in compared:
        try:
            check_change_not_in_run(work, each.kind, [(row.id, row.changes) for row in each.different])
        except CribStateError as error:
            refused.append(str(error))
    return ImportPreview(
        tuple(f"{each.kind} {record.piece.tag}" for each in compared for record in each.new),
        tuple(row.changed for each in compared for row in each.different if row not in doubted),
        sum(each.unchanged for each in compared),
        tuple(refused),
        doubted.older,
        doubted.jumps,
    )


def _from(done: int, total: int, progress: Progress | None) -> Callable[[int], None] | None:
    """Progress within one file as progress over all of them."""
    return (lambda rows: progress(done + rows, total)) if progress else None


def _files(paths: Iterable[Path], problems: list[str]) -> Iterator[Path]:
    for path in paths:
        shown = quoted(str(path), most=200)
        try:
            check_name(path)
            if not path.is_dir():
                yield path
                continue
            inside = [path / name for name in FILE_NAMES.values() if (path / name).exists()]
            inside = inside or [path / BOOK_NAME] * (path / BOOK_NAME).exists()
        except InputError as error:
            problems.append(str(error))
            continue
        except OSError as error:
            problems.append(f"{shown} cannot be read: {reason(error)}")
            continue
        if not inside:
            names = ", ".join((*FILE_NAMES.values(), BOOK_NAME))
            problems.append(f"folder {shown}: it has none of {names}")
        yield from inside


def named_files(paths: Iterable[Path]) -> list[tuple[Path, str]]:
    """Each file once, with its name; with its path where two have one name."""
    once = list({os.path.realpath(path): path for path in paths}.values())
    count = Counter(path.name for path in once)
    return [(path, shown_name(path.name if count[path.name] == 1 else str(path))) for path in once]


def _repeated(files: Iterable[Filled]) -> Iterator[str]:
    first: dict[str, str] = {}
    for file in files:
        for number, tag in file.tags:
            if tag in first:
                yield f"{file.name}, row {number}, column tag: read {quoted(tag)}, which {first[tag]} has too; a tag is one piece's"
            else:
                first[tag] = f"row {number} of {file.name}"
