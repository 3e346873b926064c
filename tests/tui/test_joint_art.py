"""The drawn joint: true to scale, every part can be recognised without colour."""

from __future__ import annotations

import pytest

from broachplan.canvas import Canvas
from broachplan.cut.joint_picture import JointSection, draw_joint
from broachplan.keyways.key import KeySize
from broachplan.keyways.parallel import joint
from broachplan.lengths import Length, Units
from broachplan.standards.named import Standard
from tui.joint_art import HUB, KEY, SHAFT, paint_joint


def section(hub_key: str | None = None) -> JointSection:
    return draw_joint(
        joint(
            Length.inches(1),
            standard=Standard.INCH,
            key=KeySize(Length.inches("1/4"), None),
            hub_key=KeySize(Length.inches(hub_key), None) if hub_key else None,
        )
    )


def cells(canvas: Canvas, name: str) -> list[tuple[int, int]]:
    return [
        (column, row)
        for row, line in enumerate(canvas.lines()[:-3])
        for column, cell in enumerate(line)
        if cell.name == name
    ]


@pytest.mark.parametrize(("columns", "rows"), [(34, 9), (52, 28), (100, 40)])
def test_shaft_key_and_hub_are_drawn_at_every_size(columns: int, rows: int) -> None:
    canvas = paint_joint(section(), columns, rows, Units.INCH)

    assert all(cells(canvas, name) for name in (HUB, SHAFT, KEY))


def test_the_parts_have_patterns_of_their_own_and_names_in_words() -> None:
    legend = paint_joint(section(), 52, 28, Units.INCH).text().splitlines()[-1].split()

    assert legend[1::2] == ["shaft", "key", "hub"]
    assert len(set(legend[::2])) == 3


def test_the_key_is_a_quarter_as_wide_as_the_shaft() -> None:
    canvas = paint_joint(section(), 120, 60, Units.INCH)
    key = [column for column, _ in cells(canvas, KEY)]
    shaft = [column for column, _ in cells(canvas, SHAFT)]

    assert (max(key) - min(key) + 1) / (max(shaft) - min(shaft) + 1) == pytest.approx(0.25, abs=0.02)


def test_close_up_shows_the_key_larger_and_the_step_of_a_stepped_one() -> None:
    whole = paint_joint(section("3/8"), 52, 28, Units.INCH)
    close = paint_joint(section("3/8"), 52, 28, Units.INCH, close=True)
    rows = {row for _, row in cells(close, KEY)}
    widths = [sum(at == row for _, at in cells(close, KEY)) for row in sorted(rows)]

    assert len(cells(close, KEY)) > 2 * len(cells(whole, KEY))
    assert widths[1] / widths[-2] == pytest.approx(1.5, abs=0.1)


def test_too_small_a_room_draws_nothing() -> None:
    assert paint_joint(section(), 8, 4, Units.INCH).text().strip() == ""
