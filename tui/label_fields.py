"""The lines typed in when labels are printed, how they are checked, and what is said of a sheet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from broachplan.questions.files import LabelsRequest, OutlinesRequest
from broachplan.questions.line import Line, chosen, lines_of
from broachplan.tooling.figures import Kind
from tui.status_words import recognised, tags_of

if TYPE_CHECKING:
    from broachplan.desks.attendant.list_known import Known
    from broachplan.desks.attendant.print_labels import Grid

DEFAULT_FILE = "labels.pdf"


def label_lines() -> tuple[Line, ...]:
    """The lines of the form; the usual sheet is the first of its choices."""
    from broachplan.desks.attendant.print_labels import DEFAULT_GRID, grid_in_words, grids

    sheets = sorted(grids().values(), key=lambda grid: grid.name != DEFAULT_GRID)
    of_kind = (("", "every kind"), *((kind.value, f"{kind.plural} only") for kind in Kind))
    grid_names = tuple((grid.name, grid_in_words(grid)) for grid in sheets)
    outlines = (("", "labels"), ("outlines", "outlines, to try the printer with"))
    asked = chosen(lines_of(LabelsRequest), "tags", "kind", "home", "text", "grid", "start", "file")
    tags, kind, home, text, grid, start, file = asked
    return (
        replace(tags, name="what", label="Tags or set", hint="(every piece; or a set, or tags with commas)"),
        replace(kind, choices=of_kind),
        replace(home, label="At home", hint="(anywhere; as C2/D3, or all of C2)"),
        replace(text, label="With words", hint="(any; in tag, set, home or note)"),
        replace(grid, choices=grid_names),
        replace(start, hint="(as 1; 7 on a sheet with 6 labels used)", needed=True, what="from label"),
        replace(file, hint=f"(as {DEFAULT_FILE})", needed=True),
        replace(text, name="print", label="Print", choices=outlines),
    )


def reason_against(line: Line, text: str, values: Mapping[str, str], known: Known | None) -> str:
    """Why ``text`` will not do in this line; empty where it will."""
    from broachplan.crib.words import LONGEST_NAME, checked_words
    from broachplan.errors import InputError

    try:
        if line.name == "what":
            for tag in tags_of(text, known):
                _check_known(checked_words(tag, "tag or set", LONGEST_NAME), known)
        elif line.name == "start":
            _first_label(text, values["grid"])
    except InputError as error:
        return str(error)
    return "" if line.name in ("what", "start") else line.reason_against(text, values)


def asked_for(values: Mapping[str, str], known: Known) -> LabelsRequest | OutlinesRequest:
    """What is to be printed, from the form.

    Raises
    ------
    InputError : the file's name begins with the home folder of somebody unknown.
    """
    file, grid = _path(values["file"]), values["grid"]
    if values["print"]:
        return OutlinesRequest(file=file, grid=grid)
    what, is_set = recognised(values["what"], known)
    tags = tuple(recognised(tag, known)[0] for tag in tags_of(what, known)) if what and not is_set else ()
    return LabelsRequest(
        file=file,
        grid=grid,
        tags=tags,
        set_name=what if is_set else "",
        kind=values["kind"],
        home=values["home"],
        text=values["text"],
        start=_first_label(values["start"], grid),
    )


def sheet_words(name: str) -> str:
    """How many labels are on a sheet, and what of its figures is not sure."""
    from broachplan.desks.attendant.print_labels import grid_named

    grid: Grid = grid_named(name)
    counted = f"{grid.name}: {grid.labels} labels a sheet"
    if not grid.doubts:
        return counted
    return f"{counted}; {', '.join(grid.doubts)}: print its outlines on plain paper first"


def _check_known(what: str, known: Known | None) -> None:
    """Before a file is made, or one that is there already is asked about."""
    from broachplan.errors import InputError

    if what and known is not None:
        meant, is_set = recognised(what, known)
        if not is_set and meant not in known.pieces:
            raise InputError("tag or set", "no piece and no set in the crib is called so", read=what)


def _first_label(text: str, sheet: str) -> int:
    from broachplan.desks.attendant.print_labels import grid_named
    from broachplan.errors import InputError

    grid = grid_named(sheet)
    number = int(text) if text.isascii() and text.isdigit() and len(text) < 5 else 0
    if not 1 <= number <= grid.labels:
        raise InputError("from label", f"a sheet {grid.name} has the labels 1 to {grid.labels}", read=text)
    return number


def _path(text: str) -> str:
    from broachplan.errors import InputError

    try:
        return str(Path(text).expanduser())
    except RuntimeError:
        raise InputError("file", "nobody has that home folder, name another", read=text) from None
