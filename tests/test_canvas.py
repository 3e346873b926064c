"""The braille canvas: dots where they were set, patterns within outlines, words over them."""

from __future__ import annotations

from math import cos, pi, sin

from hypothesis import given
from hypothesis import strategies as st

from broachplan.canvas import CHECKED, SOLID, Canvas

SQUARE = ((2.0, 2.0), (6.0, 2.0), (6.0, 6.0), (2.0, 6.0))


def dots(canvas: Canvas) -> set[tuple[int, int]]:
    return {(x, y) for x in range(canvas.width) for y in range(canvas.height) if canvas.has(x, y)}


def test_each_of_the_eight_dots_has_its_own_bit() -> None:
    drawn = set()
    for x in range(2):
        for y in range(4):
            canvas = Canvas(1, 1)
            canvas.dot(x, y, "a")
            drawn.add(ord(canvas.text()) - 0x2800)

    assert drawn == {1 << bit for bit in range(8)}


def test_the_top_left_dot_is_dot_1_and_the_bottom_right_dot_is_dot_8() -> None:
    canvas = Canvas(1, 1)
    canvas.dot(0, 0, "a")
    assert canvas.text() == "⠁"
    canvas.dot(1, 3, "a")
    assert canvas.text() == "⢁"


@given(st.integers(-50, 50), st.integers(-50, 50))
def test_a_dot_beyond_the_canvas_is_left_off(x: int, y: int) -> None:
    canvas = Canvas(2, 2)

    canvas.dot(x, y, "a")

    assert dots(canvas) == ({(x, y)} if 0 <= x < 4 and 0 <= y < 8 else set())


def test_a_filled_square_has_its_area_in_dots() -> None:
    canvas = Canvas(5, 3)

    canvas.fill([SQUARE], SOLID, "a")

    assert dots(canvas) == {(x, y) for x in range(2, 6) for y in range(2, 6)}


def test_a_ring_within_a_ring_is_a_hole() -> None:
    canvas = Canvas(5, 3)
    inner = ((3.0, 3.0), (5.0, 3.0), (5.0, 5.0), (3.0, 5.0))

    canvas.fill([SQUARE, inner], SOLID, "a")

    assert len(dots(canvas)) == 16 - 4
    assert not canvas.has(4, 4)


def test_a_later_fill_covers_what_was_there() -> None:
    canvas = Canvas(5, 3)
    canvas.fill([SQUARE], SOLID, "below")

    canvas.fill([SQUARE], CHECKED, "above")

    assert len(dots(canvas)) == 8
    assert {cell.name for row in canvas.lines() for cell in row if cell.name} == {"above"}


def test_a_disc_is_as_wide_as_it_is_high() -> None:
    canvas = Canvas(20, 10)
    disc = [(20 + 15 * cos(t * pi / 60), 20 + 15 * sin(t * pi / 60)) for t in range(120)]

    canvas.fill([disc], SOLID, "disc")

    found = dots(canvas)
    across, down = {x for x, _ in found}, {y for _, y in found}
    assert max(across) - min(across) == max(down) - min(down)
    assert abs(len(found) - pi * 15**2) < 20


def test_a_dashed_line_has_gaps_as_long_as_its_dashes() -> None:
    canvas = Canvas(6, 1)

    canvas.trace(((0.0, 0.0), (12.0, 0.0)), "a", closed=False, dash=3)

    assert dots(canvas) == {(x, 0) for x in (0, 1, 2, 6, 7, 8)}


def test_words_lie_over_the_dots_and_end_at_the_edge() -> None:
    canvas = Canvas(4, 1)
    canvas.fill([((0.0, 0.0), (8.0, 0.0), (8.0, 4.0), (0.0, 4.0))], SOLID, "a")

    canvas.write(1, 0, "hub and more", "a")

    assert canvas.text() == "⣿hub"


def test_a_canvas_of_no_size_draws_nothing() -> None:
    assert Canvas(0, 0).text() == ""
    assert Canvas(-3, 2).lines() == [[], []]
