"""What ``broachplan crib add --how`` prints: how figures are taken, each with its small drawing."""

from __future__ import annotations

import sys
from collections.abc import Iterator

from broachplan.cli.layout import WIDTH, wrap
from broachplan.errors import InputError
from broachplan.sheets import taking
from broachplan.tooling.figures import Figure, Kind, read_kind
from broachplan.tooling.pieces import FIGURES
from broachplan.tooling.to_check import TO_CHECK

_DOTS = "\N{BRAILLE PATTERN DOTS-12345678}"


def how_lines(kind: str, figure: str) -> Iterator[str]:
    """How to take a figure; of a kind all of them; of neither the names that there are.

    Raises
    ------
    InputError : no such kind, or it has no such figure.
    """
    if not kind:
        for each in Kind:
            yield from wrap(", ".join(one.label for one in FIGURES[each]), f"{each:<9}", " " * 9)
        yield ""
        yield "broachplan crib add bushing --how        all of a kind"
        yield "broachplan crib add bushing --how web    one of them"
        return
    rows = taking.ROWS if shows_dots() else 0
    for place, each_figure in enumerate(_asked_for(kind, figure)):
        if place:
            yield ""
        yield from taking.how_lines(each_figure, WIDTH, rows)


def _asked_for(kind: str, figure: str) -> tuple[Figure, ...]:
    known = read_kind(kind)
    if not figure:
        return FIGURES[known]
    figures = (*FIGURES[known], *TO_CHECK[known])
    wanted = " ".join(figure.lower().replace("-", " ").replace("_", " ").split())
    found = tuple(each for each in figures if wanted in (each.label, each.name.replace("_", " ")))
    if not found:
        names = ", ".join(each.label for each in figures)
        raise InputError("figure", f"a {known} has: {names}", read=figure)
    return found


def shows_dots() -> bool:
    """Whether what the output is written in has the dots of the drawing."""
    try:
        _DOTS.encode(getattr(sys.stdout, "encoding", None) or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True
