"""What ``broachplan crib add --how`` prints: how figures are taken, each with its small drawing."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import suppress

from broachplan.canvas import Blocks
from broachplan.cli.layout import WIDTH, wrap
from broachplan.desks.attendant.shop_settings import show_settings
from broachplan.errors import BroachplanError, InputError
from broachplan.questions.reads import SettingsRequest
from broachplan.settings import Picture
from broachplan.sheets import taking
from broachplan.tooling.figures import Figure, Kind, read_kind
from broachplan.tooling.pieces import FIGURES
from broachplan.tooling.to_check import TO_CHECK

_BLOCKS = "".join((*taking.BLOCKS.areas.values(), *taking.BLOCKS.lines.values()))
_DOTS = "\N{BRAILLE PATTERN DOTS-12345678}"


def how_lines(kind: str, figure: str, db: str | None) -> Iterator[str]:
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
    rows, blocks = drawn_as(db)
    for place, each_figure in enumerate(_asked_for(kind, figure)):
        if place:
            yield ""
        yield from taking.how_lines(each_figure, WIDTH, rows, blocks)


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


def drawn_as(db: str | None) -> tuple[int, Blocks | None]:
    """The rows of a drawing and its blocks: as the shop's setting says and the output can hold; else no drawing."""
    if _can_write(_DOTS) and not _in_blocks(db):
        return taking.ROWS, None
    return (taking.ROWS, taking.BLOCKS) if _can_write(_BLOCKS) else (0, None)


def _in_blocks(db: str | None) -> bool:
    """Whether the shop draws in blocks; how to measure is shown also where its crib cannot be read."""
    with suppress(BroachplanError):
        return show_settings(db, SettingsRequest()).picture is Picture.BLOCKS
    return False


def _can_write(characters: str) -> bool:
    try:
        characters.encode(getattr(sys.stdout, "encoding", None) or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True
