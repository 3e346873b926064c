"""Sheets of labels: they fit their page, are centred on it, and are named by their layout."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.paper.grids import Grid, LabelCell, grid_in_words, grid_named, grids
from broachplan.questions.files import DEFAULT_GRID

EVERY = pytest.mark.parametrize("grid", grids().values(), ids=list(grids()))


@EVERY
def test_a_grid_fits_its_page_with_equal_margins(grid: Grid) -> None:
    right, bottom = grid.edges

    assert min(grid.left, grid.top) >= Length(0)
    assert abs(right - grid.left) <= Length.mm("0.1")
    assert abs(bottom - grid.top) <= Length.mm("0.1")
    assert grid.pitch_x >= grid.label_width
    assert grid.pitch_y >= grid.label_height


@EVERY
def test_a_grid_is_named_by_page_columns_and_rows(grid: Grid) -> None:
    named = re.fullmatch(r"(a4|letter)-(\d+)x(\d+)(?:-(\d+)x(\d+))?", grid.name)

    assert named is not None
    assert named.group(1, 2, 3) == (grid.page.lower(), str(grid.columns), str(grid.rows))
    if named.group(4):
        size = (Length.mm(named.group(4)), Length.mm(named.group(5)))
        assert size == (grid.label_width, grid.label_height)


@EVERY
def test_cells_follow_each_other_along_the_rows_and_lie_on_the_page(grid: Grid) -> None:
    cells = [grid.cell(place) for place in range(grid.labels)]
    width, height = grid.page_size

    for one, next_one in pairwise(cells):
        assert next_one.x > one.x or next_one.y < one.y
    assert cells[0].y > cells[-1].y
    assert all(cell.x >= 0 and cell.x + cell.width <= width + 1e-6 for cell in cells)
    assert all(cell.y >= 0 and cell.y + cell.height <= height + 1e-6 for cell in cells)


def test_a_cell_is_in_points_from_the_lower_left_corner() -> None:
    assert grid_named("letter-3x10").cell(4) == pytest.approx(LabelCell(211.5, 612.0, 189.0, 72.0))


@EVERY
def test_every_figure_says_how_far_it_can_be_trusted(grid: Grid) -> None:
    assert {grid.label_status, grid.gap_status} <= {"read", "memory", "doubtful"}
    assert grid.margin_status == "symmetry"
    assert bool(grid.doubts) == ({grid.label_status, grid.gap_status} != {"read"})


def test_a_grid_is_found_by_name_and_an_unknown_one_is_refused_with_all_there_are() -> None:
    assert grid_named(f" {DEFAULT_GRID.upper()} ").name == DEFAULT_GRID
    assert grid_in_words(grid_named("a4-4x10")) == "4 x 10 labels of 45.7 mm x 25.4 mm on A4"
    assert grid_in_words(grid_named("letter-3x10")) == "3 x 10 labels of 2-5/8 in x 1 in on Letter"
    with pytest.raises(InputError, match=r"^grid: read “a5”; there are: a4-2x4, .*, letter-3x10$"):
        grid_named("a5")
