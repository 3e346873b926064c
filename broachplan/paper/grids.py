"""Sheets of labels by their grid: page, margins, pitch and size of a label, read from the table beside this module.

The table's three status columns say what is known of each figure: ``read`` (seen in a public table of label
layouts), ``doubtful`` (such tables differ, here by 1/32 in), ``memory`` (recalled, not seen), ``symmetry`` (worked out
from the others, the labels centred on the page). Makers cut sheets of one grid a little differently,
which is why a page of outlines can be printed first.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import NamedTuple

from broachplan.errors import InputError
from broachplan.lengths import NM_PER_MM, Length, Units, parse_length, show
from broachplan.paper.pages import PAGES, points

_TABLE = Path(__file__).parent / "label_grids.csv"
_DOUBTS = {"memory": "from memory", "doubtful": "not sure, by 1/32 in"}


class LabelCell(NamedTuple):
    """A place on a page in points, from its lower left corner."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Grid:
    """A sheet of labels; ``left`` and ``top`` lead from the page's corner to the first, a pitch to the next.

    ``label_status``, ``gap_status`` and ``margin_status`` say how far the figures can be trusted.
    """

    name: str
    page: str
    columns: int
    rows: int
    label_width: Length
    label_height: Length
    left: Length
    top: Length
    pitch_x: Length
    pitch_y: Length
    label_status: str
    gap_status: str
    margin_status: str

    @property
    def labels(self) -> int:
        """How many labels are on a sheet."""
        return self.columns * self.rows

    @property
    def page_size(self) -> tuple[float, float]:
        """Width and height of the page in points."""
        width, height = PAGES[self.page]
        return points(width), points(height)

    @property
    def edges(self) -> tuple[Length, Length]:
        """What is left of the page beside the last column and under the last row."""
        width, height = PAGES[self.page]
        right = width - self.left - self.pitch_x * (self.columns - 1) - self.label_width
        bottom = height - self.top - self.pitch_y * (self.rows - 1) - self.label_height
        return right, bottom

    @property
    def doubts(self) -> tuple[str, ...]:
        """What of its figures is not sure, in words."""
        statuses = (("size of a label", self.label_status), ("gap between labels", self.gap_status))
        return tuple(f"{what} {_DOUBTS[status]}" for what, status in statuses if status in _DOUBTS)

    def cell(self, place: int) -> LabelCell:
        """The label at a place, counted from 0 along the rows."""
        row, column = divmod(place, self.columns)
        x = self.left + self.pitch_x * column
        foot = self.top + self.pitch_y * row + self.label_height
        return LabelCell(
            points(x),
            self.page_size[1] - points(foot),
            points(self.label_width),
            points(self.label_height),
        )


def grid_in_words(grid: Grid) -> str:
    """What a grid is, as somebody measures it: columns and rows, the size of a label, and the page."""
    width, height = (_measured(length, grid.page) for length in (grid.label_width, grid.label_height))
    return f"{grid.columns} x {grid.rows} labels of {width} x {height} on {grid.page}"


@cache
def grids() -> dict[str, Grid]:
    """The grids by name, in the order of the table."""
    with _TABLE.open(encoding="utf-8", newline="") as file:
        return {row["name"]: _grid(row) for row in csv.DictReader(file)}


def grid_named(name: str) -> Grid:
    """A grid by its name.

    Raises
    ------
    InputError : there is none of that name.
    """
    found = grids().get(name.strip().lower())
    if found is None:
        raise InputError("grid", f"there are: {', '.join(grids())}", read=name)
    return found


def _measured(length: Length, page: str) -> str:
    return f"{length.nm / NM_PER_MM:g} mm" if page == "A4" else show(length, Units.FRACTION)


def _grid(row: dict[str, str]) -> Grid:
    def size(name: str) -> Length:
        return Length(0) if row[name] == "0 mm" else parse_length(row[name])

    return Grid(
        name=row["name"],
        page=row["page"],
        columns=int(row["columns"]),
        rows=int(row["rows"]),
        label_width=size("label_width"),
        label_height=size("label_height"),
        left=size("left"),
        top=size("top"),
        pitch_x=size("pitch_x"),
        pitch_y=size("pitch_y"),
        label_status=row["label_status"],
        gap_status=row["gap_status"],
        margin_status=row["margin_status"],
    )
