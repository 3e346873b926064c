"""The drawn section: true to scale, every part can be recognised without colour."""

from __future__ import annotations

import pytest

from broachplan.canvas import Canvas
from broachplan.cut.picture import SectionPicture
from broachplan.lengths import Units
from broachplan.planner.pass_section import section_of
from tests.tui.answers import READY
from tui.drawing import BLOCKS
from tui.section_art import BEFORE, BROACH, BUSHING, CUT, HUB, SHIMS, T, paint


def drawn(place: int = 2) -> SectionPicture:
    section = section_of(READY, READY.plans[0], place)
    assert section is not None
    return section


def names(canvas: Canvas) -> set[str]:
    rows = canvas.lines()[: canvas.rows - 4]
    return {cell.name for row in rows for cell in row if cell.name}


@pytest.mark.parametrize(("columns", "rows"), [(30, 20), (60, 38), (100, 30)])
def test_every_part_is_drawn_at_every_size(columns: int, rows: int) -> None:
    found = names(paint(drawn(), columns, rows, Units.INCH))

    assert {HUB, BUSHING, SHIMS, BROACH, CUT, BEFORE} <= found


def test_every_part_is_named_in_words_below_the_picture() -> None:
    text = paint(drawn(), 40, 24, Units.INCH).text()

    for word in ("cut now", "cut before", "broach", "shims", "bushing", "hub"):
        assert word in text


def test_the_parts_have_patterns_of_their_own() -> None:
    rows = paint(drawn(), 40, 24, Units.INCH).text().splitlines()
    legend = [row for row in rows if any(word in row for word in ("cut now", "broach", "shims", "bushing"))]
    samples = [word for row in legend for word in row.split() if word[0] >= "⠀"]

    assert len(samples) == 6
    assert len(set(samples)) == 6


def test_the_first_pass_has_nothing_cut_before_and_no_shim() -> None:
    found = names(paint(drawn(0), 60, 38, Units.INCH))

    assert CUT in found
    assert BEFORE not in found
    assert SHIMS not in found


def test_the_bore_is_as_round_as_the_screen_allows() -> None:
    canvas = paint(drawn(), 60, 38, Units.INCH)
    bushing = [
        (column, row)
        for row, cells in enumerate(canvas.lines()[:-3])
        for column, cell in enumerate(cells)
        if cell.name == BUSHING
    ]
    across = max(column for column, _ in bushing) - min(column for column, _ in bushing) + 1
    down = max(row for _, row in bushing) - min(row for _, row in bushing) + 1

    assert abs(across * 2 - down * 4) <= 6


@pytest.mark.parametrize(("units", "word"), [(Units.INCH, "in"), (Units.FRACTION, "in"), (Units.MM, "mm")])
def test_the_scale_bar_is_as_long_as_it_says(units: Units, word: str) -> None:
    canvas = paint(drawn(), 60, 38, units)
    row = canvas.rows - 3
    words = "".join(
        cell.character for cell in canvas.lines()[row] if not "⠀" <= cell.character <= "⣿"
    ).split()
    size = float(words[0]) * (1.0 if word == "mm" else 25.4)
    bar = max(x for x in range(canvas.width) if canvas.has(x, row * 4 + 2))
    bushing = [c for cells in canvas.lines()[:-3] for c, cell in enumerate(cells) if cell.name == BUSHING]
    across = (max(bushing) - min(bushing) + 1) * 2

    assert words[1] == word
    assert bar / size == pytest.approx(across / (0.999 * 25.4), rel=0.06)


def test_close_up_shows_the_keyway_larger() -> None:
    whole = paint(drawn(), 60, 38, Units.INCH)
    close = paint(drawn(), 60, 38, Units.INCH, close=True)

    def cut_cells(canvas: Canvas) -> int:
        return sum(cell.name == CUT for row in canvas.lines()[:-4] for cell in row)

    assert cut_cells(close) > 2 * cut_cells(whole)


def test_too_small_a_room_draws_nothing() -> None:
    assert paint(drawn(), 8, 4, Units.INCH).text().strip() == ""


def test_t_is_an_arrow_from_the_far_wall_to_the_floor_with_its_figure_once_it_can_be_gauged() -> None:
    """The last pass of the answer made by hand reads 1.1190 in, its first 1.0150 in on a bore of 1.0000 in."""
    canvas = paint(drawn(), 60, 38, Units.INCH)
    arrow = [
        (column, row)
        for row, cells in enumerate(canvas.lines())
        for column, cell in enumerate(cells)
        if cell.name == T and not cell.character.isalnum() and cell.character not in " ."
    ]
    bore = [
        row for row, cells in enumerate(canvas.lines()[:-3]) if any(cell.name == BUSHING for cell in cells)
    ]

    assert "T 1.1190 in" in canvas.text()
    assert max(row for _, row in arrow) >= max(bore) - 1
    assert min(row for _, row in arrow) < min(bore)
    assert {column for column, _ in arrow} <= set(range(28, 33))  # the middle plane
    assert "T 28.423 mm" in paint(drawn(), 60, 38, Units.MM).text()
    assert "T 1.0150 in" in paint(drawn(0), 60, 38, Units.INCH).text()


@pytest.mark.parametrize("close", [False, True])
def test_in_blocks_every_part_has_a_character_that_the_legend_shows_and_none_is_braille(close: bool) -> None:
    canvas = paint(drawn(), 60, 30, Units.INCH, close=close)
    text = "\n".join("".join(cell.character for cell in row) for row in canvas.lines(BLOCKS))

    assert not any("⠀" <= character <= "⣿" for character in text)
    for sample in ("██ cut now", "▓▓ broach", "== shims", "▒▒ bushing", "░░ hub", "▄▄ cut before"):
        assert sample in text
    for part in "█▓▒░▄│-" if close else "█▓=▒░▄│-":
        assert part in text.partition("cut now")[0]
    assert (
        len(set(BLOCKS.areas.values())) == len(BLOCKS.areas) - 2
    )  # a shaft and its key are in another picture
