"""Labels for pieces on sheets, and a page of outlines to try a printer with: PDF files."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from broachplan.crib.homes import Home
from broachplan.crib.records import Record
from broachplan.errors import InputError
from broachplan.paper.grids import DEFAULT_GRID, Grid, grid_in_words, grid_named, grids
from broachplan.paper.labels import label_of, labels_pdf
from broachplan.paper.outline import outline_pdf
from broachplan.store.backup import crib_files
from broachplan.store.location import located
from broachplan.store.records_read import matching_tags, read_kind
from broachplan.store.settings_store import load_settings
from broachplan.store.states import pieces_with_tags
from broachplan.store.stored_pieces import in_set, stored_pieces, unknown
from broachplan.store.transaction import Work
from broachplan.store.whole_file import ThereAlreadyError, check_places, write_named
from broachplan.store.work import reading
from broachplan.tooling.figures import Kind

__all__ = [
    "DEFAULT_GRID",
    "MANY",
    "Grid",
    "Printed",
    "ThereAlreadyError",
    "Wanted",
    "grid_in_words",
    "grid_named",
    "grids",
    "print_labels",
    "print_outline",
]

# So many labels take a while, so progress is shown.
MANY = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """Which pieces: those with ``tags``, in that order; else all that are not retired and are of all the rest.

    ``home`` is a whole home or its first parts: ``C2`` is every drawer of that cabinet.
    """

    tags: tuple[str, ...] = ()
    kind: Kind | None = None
    text: str = ""
    set_name: str = ""
    home: str = ""

    @property
    def narrowed(self) -> bool:
        """Whether anything but tags is asked for."""
        return bool(self.kind or self.text.strip() or self.set_name.strip() or self.home.strip())


@dataclass(frozen=True, slots=True)
class Printed:
    """How many labels went onto how many pages; ``next_start`` is the first free label of the last, 0 where it is full."""

    file: Path
    grid: Grid
    labels: int
    pages: int
    next_start: int


def print_labels(
    db: str | None,
    file: Path,
    wanted: Wanted,
    grid: Grid,
    *,
    start: int = 1,
    overwrite: bool = False,
    progress: Callable[[int, int], None] | None = None,
) -> Printed:
    """Write a label for each piece asked for, on sheets of a grid, as a PDF that only its owner can read.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    file : the PDF, written whole or not at all; one that is there already is replaced only with ``overwrite``.
    start : the first label to use of a sheet that is partly used, from 1 along the rows.
    progress : called after each label with how many are done and of how many, where there are more than `MANY`.

    Raises
    ------
    InputError : the file may not have this name or cannot be written, a tag, set or start is none, or there is
        nothing to print; a ThereAlreadyError where another file has the name.
    StorageError : the database cannot be used.
    """
    _check_place(db, file, overwrite)
    if not 1 <= start <= grid.labels:
        raise InputError("start", f"a sheet {grid.name} has the labels 1 to {grid.labels}", shown=start)
    with reading(db) as work:
        units = load_settings(work).units
        records = _of_tags(work, wanted) if wanted.tags else _of_the_rest(work, wanted)
    if not records:
        raise InputError(
            "nothing to print", "the crib has no such piece; `broachplan crib list` shows its pieces"
        )
    labels = [label_of(record, units) for record in records]
    data, pages = labels_pdf(labels, grid, start, progress if len(labels) > MANY else None)
    write_named({file: data}, overwrite=overwrite)
    used = (start - 1 + len(labels)) % grid.labels
    return Printed(file, grid, len(labels), pages, used + 1 if used else 0)


def print_outline(db: str | None, file: Path, grid: Grid, *, overwrite: bool = False) -> None:
    """Write a page with the outlines of a grid's labels and rulers; ``db`` only so as never to replace the crib.

    Raises
    ------
    InputError : the file may not have this name or cannot be written.
    """
    _check_place(db, file, overwrite)
    write_named({file: outline_pdf(grid)}, overwrite=overwrite)


def _of_tags(work: Work, wanted: Wanted) -> list[Record]:
    """The pieces that bear the tags, retired or not, each as often as it was asked for."""
    if wanted.narrowed:
        raise InputError("tag", "a tag names its piece; leave out kind, text, set and home beside it")
    tags = [tag.strip() for tag in wanted.tags]
    kinds = {stored.status.tag: stored.status.kind for stored in stored_pieces(work, dict.fromkeys(tags))}
    for tag in tags:
        if tag not in kinds:
            raise unknown(work, tag)
    found: dict[str, Record] = {}
    for kind in dict.fromkeys(kinds.values()):
        its = [tag for tag in kinds if kinds[tag] is kind]
        found.update((kept.record.piece.tag, kept.record) for kept in pieces_with_tags(work, kind, its))
    return [found[tag] for tag in tags]


def _of_the_rest(work: Work, wanted: Wanted) -> list[Record]:
    kinds: Sequence[Kind] = [wanted.kind] if wanted.kind else list(Kind)
    records: Iterable[Record] = (record for kind in kinds for record in read_kind(work, kind))
    if wanted.text.strip():
        having = {tag for _, tag in matching_tags(work, kinds, wanted.text.strip())}
        records = (record for record in records if record.piece.tag in having)
    if wanted.set_name.strip():
        members = {stored.status.tag for stored in in_set(work, wanted.set_name)}
        records = (record for record in records if record.piece.tag in members)
    if wanted.home.strip():
        home = _home(wanted.home).key
        records = (record for record in records if Home.read(record.home).key[: len(home)] == home)
    return list(records)


def _home(text: str) -> Home:
    home = Home.read(text)
    if not home:
        raise InputError("home", "write a home, for example C2/D3", read=text)
    return home


def _check_place(db: str | None, file: Path, overwrite: bool) -> None:
    check_places([file], "labels", crib_files(located(db)), overwrite=overwrite)
