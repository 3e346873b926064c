"""A grid in columns, as much of it as a width has room for."""

from __future__ import annotations

from collections.abc import Sequence

from broachplan.sheets.result import Column, SheetGrid


def fitted(grid: SheetGrid, width: int) -> list[str]:
    """Titles and rows in lines of at most ``width``: whole, without units, then without the columns that drop.

    Empty columns are left out; no lines if none of these fits.
    """
    every = [place for place, cells in enumerate(zip(*grid.rows, strict=True)) if any(cells)]
    kept = [place for place in every if not grid.columns[place].drops]
    for places in (every, kept):
        for lines in (_with_units(grid, places), _without_units(grid, places)):
            if max(map(len, lines)) <= width:
                return lines
    return []


def with_unit(grid: SheetGrid, column: Column, cell: str) -> str:
    """A cell as it reads alone."""
    return f"{cell} {grid.unit}" if column.sized and cell else cell


def _with_units(grid: SheetGrid, places: Sequence[int]) -> list[str]:
    columns = [grid.columns[place] for place in places]
    rows = [
        [with_unit(grid, column, row[place]) for column, place in zip(columns, places, strict=True)]
        for row in grid.rows
    ]
    return _aligned([[column.title for column in columns], *rows], "  ", "  ")


def _without_units(grid: SheetGrid, places: Sequence[int]) -> list[str]:
    titles = [grid.columns[place].short or grid.columns[place].title for place in places]
    lines = _aligned([titles, *([row[place] for place in places] for row in grid.rows)], " ", " ")
    return [lines[0] + (f" ({grid.unit})" if grid.unit else ""), *lines[1:]]


def _aligned(rows: Sequence[Sequence[str]], indent: str, gap: str) -> list[str]:
    """Numbers to the right, words to the left."""
    columns = [_column(cells) for cells in zip(*rows, strict=True)]
    return [f"{indent}{gap.join(cells)}".rstrip() for cells in zip(*columns, strict=True)]


def _column(cells: Sequence[str]) -> list[str]:
    width = max(map(len, cells))
    numbers = all(cell[0].isdigit() or cell[0] == "-" for cell in cells[1:] if cell)
    return [cell.rjust(width) if numbers else cell.ljust(width) for cell in cells]
