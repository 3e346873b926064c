"""A tag as a QR code: exactly its characters, so that a scanner types what a person would.

ISO/IEC 18004: the smallest symbol that holds the tag at level M or better, with the white border of 4 modules that it asks for.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

BORDER = 4


@dataclass(frozen=True, slots=True)
class DarkModules:
    """Dark modules side by side: from ``column`` on in a row counted from the top."""

    row: int
    column: int
    length: int


@dataclass(frozen=True, slots=True)
class Code:
    """A symbol of ``side`` by ``side`` modules without its border."""

    side: int
    runs: tuple[DarkModules, ...]


def code_of(tag: str) -> Code:
    """The symbol of a tag."""
    import segno

    rows = segno.make(tag, micro=False, error="m").matrix
    runs: list[DarkModules] = []
    for row, modules in enumerate(rows):
        column = 0
        for dark, group in groupby(modules):
            length = len(list(group))
            if dark:
                runs.append(DarkModules(row, column, length))
            column += length
    return Code(len(rows), tuple(runs))
