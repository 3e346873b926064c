"""How figures are taken: the drawings put the anvils where the words say, on the piece and nowhere else."""

from __future__ import annotations

from textwrap import wrap

import pytest
from shapely import LineString, Point, Polygon, unary_union

from broachplan.sheets.taking import COLUMNS, ROWS, drawn, how_lines, how_words, ways_of
from broachplan.tooling.figures import Figure, Kind
from broachplan.tooling.pieces import FIGURES
from broachplan.tooling.taking import Taking, Touch
from broachplan.tooling.taking_picture import DrawnPart, taking_picture
from broachplan.tooling.to_check import TO_CHECK

EVERY = [(kind, figure) for kind in Kind for figure in (*FIGURES[kind], *TO_CHECK[kind])]
WAYS = [(f"{kind} {figure.name}", way) for kind, figure in EVERY for way in ways_of(figure)]
BETWEEN = [(name, way) for name, way in WAYS if way.touch in (Touch.FLAT, Touch.BALL, Touch.WITHIN)]
# What is drawn in steps of a circle lies this much beside it.
NEAR = 0.1


def material(way: Taking) -> Polygon:
    """The piece and what is with it, as the drawing shows them."""
    holes = [Polygon(ring) for ring in way.seen.holes]
    solid = unary_union([Polygon(ring) for ring in (*way.seen.rings, *way.seen.beside)])
    return solid.difference(unary_union(holes)) if holes else solid


@pytest.mark.parametrize(("kind", "figure"), EVERY)
def test_every_figure_says_how_to_take_it_in_a_few_lines_with_a_drawing(kind: Kind, figure: Figure) -> None:
    assert ways_of(figure), f"{kind} {figure.name} has no drawing"
    lines = list(how_lines(figure, 76))
    for place, _ in enumerate(ways_of(figure)):
        assert 1 <= len(wrap(how_words(figure, place), 76)) <= 3
    assert all(len(line) <= 76 for line in lines)
    # One way at a time fits a small screen.
    assert len(lines) <= 20 * len(ways_of(figure))


@pytest.mark.parametrize(("name", "way"), BETWEEN, ids=[name for name, _ in BETWEEN])
def test_anvils_touch_the_piece_and_measure_through_metal_or_across_a_slot(name: str, way: Taking) -> None:
    body, (first, second) = material(way), [point for _, point in way.places]
    assert body.boundary.distance(Point(first)) < NEAR
    assert body.boundary.distance(Point(second)) < NEAR
    # Both faces are square to what is measured.
    assert first[0] == second[0] or first[1] == second[1], name
    line = LineString([first, second])
    if way.touch is Touch.WITHIN:
        assert body.intersection(line).length < NEAR
    # The outside diameter is measured across the slot.
    elif not name.endswith("outside_diameter"):
        assert body.intersection(line).length == pytest.approx(line.length, abs=NEAR)
    for shape in taking_picture(way).shapes:
        if shape.part is DrawnPart.ANVIL:
            assert Polygon(shape.ring).intersection(body).area < 0.12 * Polygon(shape.ring).area


@pytest.mark.parametrize(
    ("name", "way"), WAYS, ids=[f"{name} {place}" for place, (name, _) in enumerate(WAYS)]
)
def test_both_places_are_numbered_in_the_dots_and_all_of_the_drawing_is_in_sight(
    name: str, way: Taking
) -> None:
    canvas = drawn(way, COLUMNS, ROWS)
    text = canvas.text()
    for number, _ in enumerate(way.places, 1):
        assert text.count(str(number)) == 1, name
    names = {cell.name for row in canvas.lines() for cell in row}
    assert DrawnPart.PIECE in names
    picture = taking_picture(way)
    left, bottom, right, top = picture.around
    assert all(left <= x <= right and bottom <= y <= top for shape in picture.shapes for x, y in shape.ring)
    # One way to say a thing: two places of one drawing have two names.
    assert len({place for place, _ in way.places}) == len(way.places)
