"""Figures in blocks."""

from __future__ import annotations

from math import radians, tan

import pytest

from tui.widgets.figure import ROWS, SIZES, Size, block_lines, fitting

WORDS = ("NO SHIM", "GOOD", "DEEP", "SHORT", "STOP", "DONE", "HUB")


def test_every_digit_and_letter_has_a_shape_of_its_own() -> None:
    signs = {*"0123456789", *"".join(WORDS)} - {" "}

    assert len({tuple(block_lines(sign)) for sign in signs}) == len(signs)


@pytest.mark.parametrize("figure", ["1.0739", "117.625", "-0.002", *WORDS])
@pytest.mark.parametrize("size", SIZES)
def test_all_rows_of_a_figure_are_as_wide_as_the_first(figure: str, size: Size) -> None:
    lines = block_lines(figure, size)

    assert len(lines) == ROWS * size.heighten
    assert len({len(line) for line in lines}) == 1


def test_a_figure_twice_as_large_is_twice_as_wide_and_high() -> None:
    small, large = block_lines("1.119", Size(2, 1, 2)), block_lines("1.119", Size(4, 2, 4))

    assert len(large) == 2 * len(small)
    assert len(large[0]) == 2 * len(small[0])


@pytest.mark.parametrize(
    ("figure", "columns"), [("NO SHIM", 40), ("1.0739", 36), ("117.625", 36), (".0470", 40)]
)
def test_every_figure_of_a_step_fits_its_half_of_a_small_terminal(figure: str, columns: int) -> None:
    assert fitting(figure, columns, ROWS)


def test_a_larger_window_never_makes_a_figure_smaller_and_at_last_makes_it_larger() -> None:
    def area(columns: int, rows: int) -> int:
        size = fitting("1.0739", columns, rows)
        return size.widen * size.heighten if size else 0

    areas = [area(columns, columns // 3) for columns in range(10, 160)]

    assert areas == sorted(areas)
    assert area(36, 5) < area(64, 10) < area(98, 15)


@pytest.mark.parametrize(("columns", "screen_mm"), [(80, 300), (130, 520)])
def test_a_figure_is_read_at_two_metres(columns: int, screen_mm: int) -> None:
    # ISO 9241 asks 20 to 22 minutes of arc of a letter that is to be read with ease (from memory). A cell of a
    # terminal is about twice as high as wide (common practice, no source); the screen is a laptop's or a monitor's.
    size = fitting("1.0739", columns // 2 - 4, ROWS if columns == 80 else 2 * ROWS)
    assert size
    cell = screen_mm / columns
    needed = 2000 * tan(radians(22 / 60))

    assert ROWS * size.heighten * 2 * cell > 2 * needed
    assert 4 * size.widen * cell > needed
