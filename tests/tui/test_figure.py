"""Figures in blocks."""

from __future__ import annotations

from tui.widgets.figure import ROWS, block_lines


def test_every_digit_has_a_shape_of_its_own() -> None:
    shapes = {tuple(block_lines(digit, 1)) for digit in "0123456789"}

    assert len(shapes) == 10


def test_all_rows_of_a_figure_are_as_wide_as_the_first() -> None:
    lines = block_lines("-1.0987", 2)

    assert len(lines) == ROWS
    assert len({len(line) for line in lines}) == 1


def test_a_figure_twice_as_large_is_twice_as_wide_and_high() -> None:
    small, large = block_lines("1.119", 2, 1), block_lines("1.119", 4, 2)

    assert len(large) == 2 * len(small)
    assert len(large[0]) == 2 * len(small[0])


def test_a_reading_in_inches_fits_the_figures_column_of_a_small_terminal() -> None:
    assert len(block_lines("1.1190", 2)[0]) + len(" in") <= 48


def test_a_large_metric_reading_fits_with_its_unit() -> None:
    assert len(block_lines("104.425", 2)[0]) + len(" mm") <= 48 + 6
