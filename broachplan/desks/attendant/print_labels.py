"""Labels for pieces on sheets, and a page of outlines to try a printer with: PDF files."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from broachplan.crib.homes import Home
from broachplan.crib.records import Record
from broachplan.errors import InputError
from broachplan.paper.grids import Grid, grid_in_words, grid_named, grids
from broachplan.paper.labels import label_of, labels_pdf
from broachplan.paper.outline import outline_pdf
from broachplan.questions.files import DEFAULT_GRID, LabelsRequest, OutlinesRequest
from broachplan.store.backup import crib_files
from broachplan.store.location import located
from broachplan.store.records_read import matching_tags
from broachplan.store.records_read import read_kind as records_of_kind
from broachplan.store.settings_store import load_settings
from broachplan.store.states import pieces_with_tags
from broachplan.store.stored_pieces import in_set, stored_pieces, unknown
from broachplan.store.transaction import Work
from broachplan.store.whole_file import ThereAlreadyError, check_places, write_named
from broachplan.store.work import reading
from broachplan.tooling.figures import Kind, read_kind

__all__ = [
    "DEFAULT_GRID",
    "MANY",
    "Grid",
    "Outlined",
    "Printed",
    "ThereAlreadyError",
    "grid_in_words",
    "grid_named",
    "grids",
    "print_labels",
    "print_outlines",
]

# So many labels take a while, so progress is shown.
MANY = 500


@dataclass(frozen=True, slots=True)
class Printed:
    """How many labels went onto how many pages; ``next_start`` is the first free label of the last, 0 where it is full."""

    file: Path
    grid: Grid
    labels: int
    pages: int
    next_start: int


@dataclass(frozen=True, slots=True)
class Outlined:
    """The outlines of a sheet, and the file that they are in."""

    file: Path
    grid: Grid


def print_labels(
    db: str | None, request: LabelsRequest, *, progress: Callable[[int, int], None] | None = None
) -> Printed:
    """Write a label for each piece asked for, on sheets of a grid, as a PDF that only its owner can read.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    progress : called after each label with how many are done and of how many, where there are more than `MANY`.

    Raises
    ------
    InputError : the file may not have this name or cannot be written, a tag, set or start is none, or there is
        nothing to print; a ThereAlreadyError where another file has the name.
    StorageError : the database cannot be used.
    """
    file, grid, start = Path(request.file), grid_named(request.grid), request.start
    _check_place(db, file, request.overwrite)
    if not 1 <= start <= grid.labels:
        raise InputError("start", f"a sheet {grid.name} has the labels 1 to {grid.labels}", shown=start)
    with reading(db) as work:
        units = load_settings(work).shown_in
        records = _of_tags(work, request) if request.tags else _of_the_rest(work, request)
    if not records:
        raise InputError(
            "nothing to print", "the crib has no such piece; `broachplan crib list` shows its pieces"
        )
    labels = [label_of(record, units) for record in records]
    data, pages = labels_pdf(labels, grid, start, progress if len(labels) > MANY else None)
    write_named({file: data}, overwrite=request.overwrite)
    used = (start - 1 + len(labels)) % grid.labels
    return Printed(file, grid, len(labels), pages, used + 1 if used else 0)


def print_outlines(db: str | None, request: OutlinesRequest) -> Outlined:
    """Write a page with the outlines of a grid's labels and rulers; ``db`` only so as never to replace the crib.

    Raises
    ------
    InputError : the file may not have this name or cannot be written.
    """
    file, grid = Path(request.file), grid_named(request.grid)
    _check_place(db, file, request.overwrite)
    write_named({file: outline_pdf(grid)}, overwrite=request.overwrite)
    return Outlined(file, grid)


def _of_tags(work: Work, request: LabelsRequest) -> list[Record]:
    """The pieces that bear the tags, retired or not, each as often as it was asked for."""
    if request.narrowed:
        raise InputError("tag", "a tag names its piece; leave out kind, text, set and home beside it")
    tags = [tag.strip() for tag in request.tags]
    kinds = {stored.status.tag: stored.status.kind for stored in stored_pieces(work, dict.fromkeys(tags))}
    for tag in tags:
        if tag not in kinds:
            raise unknown(work, tag)
    found: dict[str, Record] = {}
    for kind in dict.fromkeys(kinds.values()):
        its = [tag for tag in kinds if kinds[tag] is kind]
        found.update((kept.record.piece.tag, kept.record) for kept in pieces_with_tags(work, kind, its))
    return [found[tag] for tag in tags]


def _of_the_rest(work: Work, request: LabelsRequest) -> list[Record]:
    kinds: Sequence[Kind] = [read_kind(request.kind)] if request.kind else list(Kind)
    records: Iterable[Record] = (record for kind in kinds for record in records_of_kind(work, kind))
    if request.text.strip():
        having = {tag for _, tag in matching_tags(work, kinds, request.text.strip())}
        records = (record for record in records if record.piece.tag in having)
    if request.set_name.strip():
        members = {stored.status.tag for stored in in_set(work, request.set_name)}
        records = (record for record in records if record.piece.tag in members)
    if request.home.strip():
        home = _home(request.home).key
        records = (record for record in records if Home.read(record.home).key[: len(home)] == home)
    return list(records)


def _home(text: str) -> Home:
    home = Home.read(text)
    if not home:
        raise InputError("home", "write a home, for example C2/D3", read=text)
    return home


def _check_place(db: str | None, file: Path, overwrite: bool) -> None:
    check_places([file], "labels", crib_files(located(db)), overwrite=overwrite)
