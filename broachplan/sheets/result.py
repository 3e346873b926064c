"""What a sheet is made of. It knows no width: `broachplan.sheets.layout` chooses what a width has room for."""

from __future__ import annotations

from enum import IntEnum
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from broachplan.shop_words import ShopWords

MEMORY = "memory"


class Detail(IntEnum):
    """How much is said: the answer alone; with what has to be known first, by its name; everything."""

    BRIEF = 0
    USUAL = 1
    FULL = 2


class NamedValue(NamedTuple):
    """One figure with its name and unit; ``short`` names it where there is little room.

    ``other`` is the same in the other units, ``limits`` are both limits, ``status`` where it is from. Without a
    ``label`` it is a further value of the one above.
    """

    label: str
    value: str
    short: str = ""
    other: str = ""
    limits: str = ""
    status: str = ""


class Sentence(NamedTuple):
    """A line of words; ``mark`` is a bullet before them."""

    text: str
    mark: str = ""


class Column(NamedTuple):
    """One column of a table, and of a grid on a sheet.

    Figures are at the ``right``; cells of a ``sized`` one are in the grid's unit. When room is short, columns with
    ``least`` shrink down to it, then those with the highest ``drops`` go. ``tags`` differ in their ends, so that one
    is never cut there. ``short`` is the title where there is little room.
    """

    title: str
    short: str = ""
    sized: bool = False
    drops: int = 0
    right: bool = False
    least: int | None = None
    tags: bool = False


class SheetGrid(NamedTuple):
    """Rows under titles; the first column names the row. Cells of sized columns leave out the ``unit``."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    unit: str = ""


class SheetBlock(NamedTuple):
    """What belongs together, under a heading; ``short`` is the heading where there is little room."""

    heading: str
    lines: tuple[NamedValue | Sentence | SheetGrid, ...] = ()
    short: str = ""
    status: str = ""


class ResultSheet(NamedTuple):
    """A result in words.

    ``title`` says what it is or answers, ``short`` the same where there is little room; ``caution`` comes before every
    figure. ``from_memory`` names what rests on memory, as in ``some figures``; empty: nothing does.
    """

    title: str
    short: str
    blocks: tuple[SheetBlock, ...]
    caution: str = ""
    source: str = ""
    from_memory: str = ""
    remarks: tuple[str, ...] = ()


def some_figures(status: str) -> str:
    """What rests on memory by the status of a whole result."""
    return "some figures" if status == MEMORY else ""


def in_words_of(sheet: ResultSheet, words: ShopWords) -> ResultSheet:
    """The sheet in the shop's own words for lending and returning."""
    from broachplan.shop_words import ShopWords

    def worded(part: Any) -> Any:
        if isinstance(part, str):
            return words.sentence(part)
        if isinstance(part, tuple):
            parts = map(worded, part)
            return type(part)(*parts) if hasattr(part, "_fields") else tuple(parts)
        return part

    made: ResultSheet = sheet if words == ShopWords() else worded(sheet)
    return made
