"""The columns of the form of each kind of piece, and which kind a header belongs to.

The columns of the figures come from the table of figures, so form, list and database stay in step.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from broachplan.errors import InputError, quoted
from broachplan.store.csv_file import MOST_COLUMNS, FileRow
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import FIGURES, PIECES

FILE_NAMES: Mapping[Kind, str] = {kind: f"{kind.plural}.csv" for kind in Kind}
# The workbook that has a sheet for each kind.
BOOK_NAME = "crib.xlsx"
MEASURED = ("measured_with", "measured_on", "measured_by")
MADE_HERE = "made_here"
MEASURED_TO = "measured_to"


def column_of(name: str) -> str:
    """The column of a piece's row that holds what a file's column, or a line of a form, of this name says."""
    return "set_name" if name == "set" else name


def is_inspected(kind: Kind) -> bool:
    """Whether the exported files of a kind always have set, condition and how a piece was measured."""
    return PIECES[kind].inspected


def needed_columns(kind: Kind) -> tuple[str, ...]:
    """The columns that a file of this kind must have: the tag, and the agreed figures that every plan needs."""
    return ("tag", *(figure.name for figure in FIGURES[kind] if figure.needed and not figure.added_later))


def usual_columns(kind: Kind) -> tuple[str, ...]:
    """The columns that an export always writes, in their order."""
    own = ("set", "home", "condition", "note") if is_inspected(kind) else ("home", "note")
    return ("tag", *(figure.name for figure in FIGURES[kind] if not figure.added_later), *own)


def further_columns(kind: Kind) -> tuple[str, ...]:
    """The columns that an export writes where a piece needs them."""
    later = (figure.name for figure in FIGURES[kind] if figure.added_later)
    own = () if is_inspected(kind) else ("set", "condition")
    return (*own, *MEASURED, MADE_HERE, MEASURED_TO, *later)


def all_columns(kind: Kind) -> tuple[str, ...]:
    """Every column that a file of this kind may have. One that is missing says nothing about what it is for."""
    return (*usual_columns(kind), *further_columns(kind))


def kind_of(title: str, name: str, ending: str, columns: Sequence[str], header: FileRow) -> Kind:
    """The kind of piece that a file holds: by its ``title``, else by its header.

    Raises
    ------
    InputError : neither says it, or the header fits several kinds.
    """
    for kind in Kind:
        if title == kind.plural:
            return kind
    could_be = [kind for kind in Kind if set(needed_columns(kind)) <= set(columns) <= set(all_columns(kind))]
    if len(could_be) == 1:
        return could_be[0]
    names = ", ".join(f"{kind.plural}{ending}" for kind in could_be or Kind)
    raise InputError(
        name,
        f"neither its name nor its header (read {quoted(','.join(header.cells))}) says what pieces it holds; name it {names}",
    )


def header_problems(name: str, kind: Kind, header: FileRow, columns: Sequence[str]) -> list[str]:
    """What is wrong with the first row of a file of this kind."""
    where = f"{name}, row {header.number}"
    if header.problem or header.wrong:
        return [f"{where}: {problem}" for problem in (header.problem, *header.wrong.values()) if problem]
    if len(columns) == 1 and any(mark in columns[0] for mark in ";\t"):
        return [f"{where}: the columns must be separated by commas"]
    known = all_columns(kind)
    if len(columns) > MOST_COLUMNS:
        return [f"{where}: it has {len(columns):,} cells; {kind.plural} have {len(known)}"]
    problems = [
        f"{where}: column {column} is missing" for column in needed_columns(kind) if column not in columns
    ]
    for place, column in enumerate(columns):
        if column not in known:
            read = quoted(header.cells[place]) if column else "an empty cell"
            problems.append(
                f"{where}: read {read}, which is no column of {kind.plural}; there are: {', '.join(known)}"
            )
        elif column in columns[:place]:
            problems.append(f"{where}: column {column} is there twice")
    return problems
