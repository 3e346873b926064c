"""A table described once: titles, JSON keys, values, which column goes first for lack of room. Faces lay the same one out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime
from types import MappingProxyType
from typing import Any, Generic, NamedTuple, TypeVar

from broachplan.lengths import Length, Units
from broachplan.sheets.result import Column
from broachplan.sheets.wrapping import TIED, wrapped

Item = TypeVar("Item")
Part = TypeVar("Part")
# What is said of any such item is said of one that is more than that.
Of = TypeVar("Of", contravariant=True)
Row = tuple[str, ...]
TAG = Column("tag", least=10, tags=True)
# Rows that a screen takes its widths from where there are a great many.
_SAMPLE = 400
_INDENT, _GAP, _UNDER = "  ", "  ", "      "


class View(NamedTuple):
    """How a table is read: the day that says what is overdue or due, the units of its lengths, and the bore of passes.

    A gauge finds the floor of a keyway only past the widest that ``bore`` may be. ``begun`` is how many tags were scanned
    of the drawers whose count was begun at this station and not finished.
    """

    on: date = date.min
    units: Units = Units.INCH
    bore: Length = Length(0)
    begun: Mapping[str, int] = MappingProxyType({})


class Field(NamedTuple, Generic[Of]):
    """One thing that a table says of each item.

    ``key`` names its value in JSON, empty where JSON leaves it out; without a ``column`` it is in JSON alone. ``words``
    is the cell where that is more than the value.
    """

    column: Column | None
    value: Callable[[Of], object]
    key: str = ""
    words: Callable[[Of, View], str] | None = None


def of_part(field: Field[Part], part: Callable[[Item], Part]) -> Field[Item]:
    """A field of what has the items of another table as a part."""
    words = field.words
    return Field(
        field.column,
        lambda item: field.value(part(item)),
        field.key,
        (lambda item, view: words(part(item), view)) if words else None,
    )


def columns_of(fields: Iterable[Field[Any]]) -> tuple[Column, ...]:
    """The columns of a table."""
    return tuple(field.column for field in fields if field.column is not None)


def rows_of(fields: Iterable[Field[Item]], items: Iterable[Item], view: View) -> list[Row]:
    """A row of cells for each item."""
    shown = [field for field in fields if field.column is not None]
    return [
        tuple(field.words(item, view) if field.words else in_words(field.value(item)) for field in shown)
        for item in items
    ]


def dicts_of(
    fields: Iterable[Field[Item]], items: Iterable[Item], order: Sequence[str] = ()
) -> list[dict[str, object]]:
    """Each item for another program; ``order`` is that of the keys where it is not that of the fields."""
    by_key = {field.key: field.value for field in fields if field.key}
    return [{key: plain(by_key[key](item)) for key in order or by_key} for item in items]


def having(rows: Iterable[tuple[Row, Item]], words: str) -> Sequence[tuple[Row, Item]]:
    """The rows that have every word somewhere."""
    wanted = words.lower().split()
    sought = ((" ".join(row).lower(), (row, item)) for row, item in rows)
    return [found for text, found in sought if all(word in text for word in wanted)]


def moment_words(at: datetime | None) -> str:
    """A moment on the reader's clock."""
    return at.astimezone().strftime("%Y-%m-%d %H:%M") if at else ""


def in_words(value: object) -> str:
    """A value as a cell; empty where there is none."""
    return moment_words(value) if isinstance(value, datetime) else "" if value is None else str(value)


def plain(value: object) -> object:
    """A value for JSON: days as they are written, moments in universal time."""
    if isinstance(value, datetime):
        return value.strftime("%Y-%m-%dT%H:%M:%SZ")
    return value.isoformat() if isinstance(value, date) else value


def widths(
    columns: Sequence[Column], rows: Sequence[Row], room: int, gap: int = 1, sample: int = _SAMPLE
) -> list[int]:
    """How wide each column is in ``room``: 0 for one that has to go.

    As wide as the text asks; else columns with ``least`` shrink down to it, and those with the highest ``drops`` go.
    """
    wide = [
        max(len(column.title), *(len(row[place]) for row in rows[:sample]), 0)
        for place, column in enumerate(columns)
    ]
    going = sorted((p for p, c in enumerate(columns) if c.drops), key=lambda place: columns[place].drops)
    least = [wide[p] if c.least is None else min(wide[p], c.least) for p, c in enumerate(columns)]
    while going and _taken(least, gap) > room:
        least[going.pop()] = 0
    shared = [0 if not least[p] else wide[p] for p in range(len(columns))]
    while _taken(shared, gap) > room and any(width > least[p] for p, width in enumerate(shared)):
        loose = [p for p, width in enumerate(shared) if width > least[p]]
        shared[max(loose, key=lambda place: shared[place])] -= 1
    return shared


def table_lines(
    columns: Sequence[Column], rows: Sequence[Row], width: int, under: Sequence[str] = ()
) -> Iterator[str]:
    """Titles and rows in lines of at most ``width``; no words are cut off, long cells continue below.

    A column without any text is left out. Tags are never broken: where one is longer than its column, they are above
    their row. ``under`` is a text below each row.
    """
    used = [place for place in range(len(columns)) if any(row[place] for row in rows)]
    columns, rows = [columns[place] for place in used], [tuple(row[place] for place in used) for row in rows]
    shared = widths(columns, rows, width - len(_INDENT), len(_GAP), len(rows))
    places = [place for place, size in enumerate(shared) if size]
    kept = [(columns[place], shared[place]) for place in places]
    yield _line([column.title for column, _ in kept], kept)
    for number, row in enumerate(rows):
        cells = [row[place] for place in places]
        for place, (column, size) in enumerate(kept):
            if not column.tags or len(cells[place]) <= size:
                continue
            tags = [tag.replace(" ", TIED) for tag in cells[place].split(", ")]
            cells[place] = ", ".join(tags)
            if max(map(len, tags)) >= size:
                yield from wrapped(cells[place], width, _INDENT, _INDENT)
                cells[place] = ""
        yield from _folded(cells, kept)
        if under and under[number]:
            yield from wrapped(under[number], width, _UNDER, _UNDER)


def _folded(cells: Sequence[str], kept: Sequence[tuple[Column, int]]) -> Iterator[str]:
    if all(len(cell) <= size for cell, (_, size) in zip(cells, kept, strict=True)):
        if any(cells):
            yield _line(cells, kept)
        return
    parts = [wrapped(cell, size) or [""] for cell, (_, size) in zip(cells, kept, strict=True)]
    for number in range(max(map(len, parts))):
        yield _line([part[number] if number < len(part) else "" for part in parts], kept)


def _line(cells: Sequence[str], kept: Sequence[tuple[Column, int]]) -> str:
    padded = [
        cell.rjust(size) if column.right else cell.ljust(size)
        for cell, (column, size) in zip(cells, kept, strict=True)
    ]
    return f"{_INDENT}{_GAP.join(padded)}".rstrip()


def _taken(shared: Sequence[int], gap: int) -> int:
    shown = [size for size in shared if size]
    return sum(shown) + gap * (len(shown) - 1)
