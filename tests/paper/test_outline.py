"""The page of outlines: rulers of their length, and an outline where each label lies."""

from __future__ import annotations

from PIL import Image

from broachplan.lengths import Length
from broachplan.paper.grids import grid_named, grids
from broachplan.paper.outline import outline_pdf
from broachplan.paper.pages import points
from tests.paper.pages import SCALE, box_of, pictures


def longest_run(line: Image.Image) -> int:
    return max(map(len, "".join("x" if dot < 128 else " " for dot in line.tobytes()).split()), default=0)


def test_the_rulers_have_their_length_and_every_label_its_outline() -> None:
    grid = grid_named("letter-2x5")

    (page,) = pictures(outline_pdf(grid))

    runs = {longest_run(page.crop((0, y, page.width, y + 1))) for y in range(page.height)}
    falls = {longest_run(page.crop((x, 0, x + 1, page.height))) for x in range(page.width)}
    across, up = (round(points(length) * SCALE) for length in (Length.mm(100), Length.inches(4)))
    assert any(0 <= run - across <= 3 for run in runs)  # ticks are drawn half a line beyond their ends
    assert any(0 <= fall - up <= 3 for fall in falls)
    left, top, right, foot = box_of(grid.cell(0), page)
    for corner in ((left, top), (left, foot), (right, top)):
        around = page.crop((corner[0] - 2, corner[1] - 2, corner[0] + 3, corner[1] + 3))
        assert around.getextrema()[0] < 200


def test_an_outline_is_one_page_and_the_same_bytes_each_time() -> None:
    for grid in grids().values():
        assert outline_pdf(grid) == outline_pdf(grid)
