"""Import of a crib from CSV files and workbooks: all or nothing, and every bad row reported."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sqlalchemy import select

from broachplan.crib.entries import Act, Stamp, changes_between
from broachplan.errors import InputError, quoted
from broachplan.store.csv_columns import BOOK_NAME, FILE_NAMES
from broachplan.store.csv_file import check_name, load, shown_name
from broachplan.store.csv_form import Filled, ImportedRow, Source, read_form
from broachplan.store.entries import ActLine, Difference, in_words_of, record
from broachplan.store.location import reason
from broachplan.store.pieces import add, change
from broachplan.store.records_read import in_lots, record_query
from broachplan.store.run_guard import check_change_not_in_run
from broachplan.store.tables import PIECE
from broachplan.store.transaction import Work
from broachplan.store.translate import figure_columns, figure_values, piece_values
from broachplan.store.typed import check_piece
from broachplan.store.xlsx_file import is_book, load_book
from broachplan.tooling.figures import Kind

# Called with rows done and rows in all.
Progress = Callable[[int, int], None]


class ImportRefused(InputError):
    """Nothing was imported; ``lines`` name every row and cell that is wrong."""

    def __init__(self, lines: Sequence[str]) -> None:
        super().__init__("", "\n".join(lines))
        self.lines = tuple(lines)


@dataclass(frozen=True, slots=True)
class ChangedPiece:
    """A piece that was in the crib and is different now."""

    kind: Kind
    tag: str
    differences: tuple[Difference, ...]


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
        changed = (
            f"{each.kind} {each.tag}: {'; '.join(difference.words for difference in each.differences)}"
            for each in self.changed
        )
        return (counted, *changed)


@dataclass(frozen=True, slots=True)
class Incoming:
    """Files read and not yet compared with the crib."""

    files: tuple[Filled, ...]
    problems: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Stored:
    """A piece as it is in the crib: its id and the values of its columns."""

    id: int
    values: Mapping[str, Any]


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


def put(work: Work, incoming: Incoming, stamp: Stamp) -> Imported:
    """Add what is new and change what is different, with an entry for each piece; the caller commits.

    Raises
    ------
    ImportRefused : anything is wrong in any file, or a tag is another kind's or was retired; nothing is written.
    CribStateError : a figure or the condition of a piece that is in use in a run would be another; nothing is written.
    """
    read = [(file, _stored(work, file)) for file in incoming.files]
    cannot_be = [problem for file, stored in read for problem in _cannot_be(file, stored)]
    problems = [*incoming.problems, *_taken(work, incoming.files), *cannot_be]
    if problems:
        raise ImportRefused(problems)
    added, unchanged = 0, 0
    changed: list[ChangedPiece] = []
    lines: list[ActLine] = []
    for file, stored in read:
        new = [entry.record for entry in file.entries if entry.record.piece.tag not in stored]
        ids = add(work, file.kind, [(piece_values(record), figure_values(record.piece)) for record in new])
        different = _different(file, stored)
        check_change_not_in_run(
            work,
            file.kind,
            [(after.id, changes_between(before.values, after.values)) for before, after in different],
        )
        change(work, file.kind, [(after.id, after.values) for _, after in different])
        lines += [ActLine(id, Act.RECEIVED) for id in ids]
        lines += [
            ActLine(after.id, Act.CHANGED, changes_between(before.values, after.values))
            for before, after in different
        ]
        added += len(new)
        changed += [_changed_piece(file.kind, before, after) for before, after in different]
        unchanged += len(file.entries) - len(new) - len(different)
    record(work, stamp, lines)
    return Imported(added, tuple(changed), unchanged)


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


def _taken(work: Work, files: Iterable[Filled]) -> Iterator[str]:
    """Tags that the crib has for another kind of piece, or for one that was retired."""
    for file in files:
        rows = {tag: number for number, tag in file.tags}
        for tags in in_lots(rows):
            query = select(PIECE.c.tag, PIECE.c.kind, PIECE.c.retired).where(PIECE.c.tag.in_(tags))
            for tag, kind, retired in work.connection.execute(query.order_by(PIECE.c.tag)):
                where = f"{file.name}, row {rows[tag]}, column tag: read {quoted(tag)}, which in the crib"
                if kind != file.kind:
                    yield f"{where} is a {kind}'s; a tag is one piece's"
                elif retired:
                    yield f"{where} was retired; give the piece another tag"


def _stored(work: Work, file: Filled) -> dict[str, _Stored]:
    """The pieces of a file that the crib has already, by tag."""
    query = record_query(file.kind).add_columns(PIECE.c.id)
    found = {}
    for tags in in_lots(entry.record.piece.tag for entry in file.entries):
        for row in work.connection.execute(query.where(PIECE.c.tag.in_(tags))).mappings():
            values = dict(row)
            found[row["tag"]] = _Stored(values.pop("id"), values)
    return found


def _different(file: Filled, stored: Mapping[str, _Stored]) -> list[tuple[_Stored, _Stored]]:
    """The pieces that the file changes, before and after; columns that it lacks stay."""
    different = []
    for entry in file.entries:
        before = stored.get(entry.record.piece.tag)
        if before is None:
            continue
        after = _after(file, entry, before)
        if after != before.values:
            different.append((before, _Stored(before.id, after)))
    return different


def _after(file: Filled, entry: ImportedRow, before: _Stored) -> dict[str, Any]:
    values, figures = piece_values(entry.record), figure_values(entry.record.piece)
    return {
        **before.values,
        **{name: values[name] for name in file.given},
        **{name: figures[name] for name in file.figures},
    }


def _cannot_be(file: Filled, stored: Mapping[str, _Stored]) -> Iterator[str]:
    """Rows whose figures do not go with those that the crib has and the file has no column for."""
    for entry in file.entries if set(file.figures) < set(figure_columns(file.kind)) else ():
        tag = entry.record.piece.tag
        if (before := stored.get(tag)) is None:
            continue
        try:
            check_piece(file.kind, tag, _after(file, entry, before))
        except InputError as error:
            yield f"{file.name}, row {entry.number}: with the crib's other figures of {tag}: {error}"


def _changed_piece(kind: Kind, before: _Stored, after: _Stored) -> ChangedPiece:
    changes = changes_between(before.values, after.values)
    return ChangedPiece(kind, after.values["tag"], in_words_of(kind, changes))
