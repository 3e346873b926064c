"""The section as shapes, against polygons built in another way and against the closed formula of the corner."""

from __future__ import annotations

from dataclasses import replace
from math import asin, pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, Polygon, box
from shapely.ops import unary_union

from broachplan.cut.picture import Circle, Rectangle, Ring, SectionPicture, draw_section
from broachplan.errors import InputError
from broachplan.keyways.keyway import Keyway
from broachplan.lengths import Length, Limits
from broachplan.standards.named import Standard
from broachplan.tooling.hub import Hub
from broachplan.tooling.pieces import Broach, Bushing, Shim

MM = Length.mm
BORE = MM("25")
HUB = Hub(bore=Limits(BORE, BORE, MM("25.021")), length=MM("30"), outside_diameter=MM("50"))
KEYWAY = Keyway(
    standard=Standard.METRIC,
    shape=None,
    width=Limits(MM("8"), MM("7.982"), MM("8.018")),
    reading=Limits(MM("28.3"), MM("28.3"), MM("28.5")),
    aim=MM("28.4"),
    arc=MM("0.657"),
    depth_at_wall=MM("3.957"),
    source="ISO 773",
    status="read",
)
BROACH = Broach(
    tag="B8",
    keyway_width=MM("8"),
    body_width=MM("7.95"),
    first_tooth_height=MM("12.80"),
    last_tooth_height=MM("14.00"),
    tooth_pitch=MM("8"),
    rising_teeth=25,
    root_height=MM("10"),
)
BUSHING = Bushing(tag="G25", outside_diameter=MM("24.97"), slot_width=MM("8.05"), web=MM("11.50"))
SHIMS = tuple(Shim(tag=f"S{t}", thickness=MM(t), width=MM("7.9")) for t in ("1.0", "1.0", "0.9"))
READINGS = (MM("25.5"), MM("26.5"), MM("27.5"), MM("28.4"))


def section(passes: int = 4, hub: Hub = HUB, readings: tuple[Length, ...] = READINGS) -> SectionPicture:
    return draw_section(hub, KEYWAY, BROACH, BUSHING, SHIMS[: passes - 1], readings[:passes])


def area(rings: tuple[Ring, ...]) -> float:
    return float(sum(Polygon(ring).area for ring in rings))


def corner_area(radius: float, width: float, low: float, high: float) -> float:
    """Metal between two heights over the middle of the bore: the closed formula of the two corner pieces."""

    def under(z: float) -> float:
        z = min(z, radius)
        return z * sqrt(radius**2 - z**2) + radius**2 * asin(z / radius)

    start = max(low, sqrt(radius**2 - (width / 2) ** 2))
    high = max(high, start)
    return width * (high - start) - (under(high) - under(start))


def test_the_worked_example_reads_28_40_after_its_fourth_pass() -> None:
    """Bore 25, web 11.50, shims 2.9, last tooth 14.00: T = 28.40 mm, so 15.90 over the axis."""
    drawn = section()

    assert drawn.teeth.top == pytest.approx(28.40 - 12.5)
    assert drawn.shims[-1].top == pytest.approx(11.50 + 2.9 - 12.5)


def test_the_back_of_the_bushing_lies_on_the_wall_opposite_the_keyway() -> None:
    drawn = section()

    assert drawn.bushing.y - drawn.bushing.radius == pytest.approx(-drawn.bore.radius)
    assert drawn.slot.bottom == pytest.approx(-12.5 + 11.50)


def test_shims_lie_one_on_the_other_and_the_broach_on_the_last() -> None:
    drawn = section()

    assert drawn.shims[0].bottom == pytest.approx(drawn.slot.bottom)
    assert [one.top for one in drawn.shims[:-1]] == [two.bottom for two in drawn.shims[1:]]
    assert drawn.body.bottom == drawn.shims[-1].top
    assert drawn.body.top == drawn.teeth.bottom


def test_without_shims_the_broach_lies_on_the_slot_floor() -> None:
    drawn = section(passes=1)

    assert drawn.shims == ()
    assert drawn.body.bottom == drawn.slot.bottom


@pytest.mark.parametrize("web", ["11.50", "16", "24.5", "24.9"])
def test_the_bushing_is_its_circle_less_the_slot(web: str) -> None:
    drawn = draw_section(HUB, KEYWAY, BROACH, replace(BUSHING, web=MM(web)), (), READINGS[:1])
    slot = box(-drawn.slot.width / 2, drawn.slot.bottom, drawn.slot.width / 2, drawn.slot.top + 1)
    circle = Polygon(drawn.bushing.ring())

    outline = Polygon(drawn.bushing_outline)

    assert outline.is_valid
    assert outline.area == pytest.approx(circle.difference(slot).area, rel=5e-4)


def test_a_slot_floor_above_the_shoulders_leaves_a_flat_bushing() -> None:
    shallow = Bushing(tag="G", outside_diameter=MM("24.97"), slot_width=MM("8.05"), web=MM("24.9"))

    drawn = draw_section(HUB, KEYWAY, BROACH, shallow, (), READINGS[:1])

    assert Polygon(drawn.bushing_outline).is_valid
    assert max(y for _, y in drawn.bushing_outline) == pytest.approx(24.9 - 12.5)


@given(st.lists(st.integers(24_000, 29_500), min_size=1, max_size=5, unique=True).map(sorted))
def test_the_layers_are_all_that_the_teeth_swept_outside_the_bore(micrometres: list[int]) -> None:
    readings = tuple(Length(um * 1000) for um in micrometres)
    drawn = draw_section(HUB, KEYWAY, BROACH, BUSHING, (), readings)
    bore = Point(0, 0).buffer(12.5, quad_segs=4096)
    swept = box(-4, 0, 4, readings[-1].in_mm - 12.5).difference(bore)

    layers = [Polygon(ring) for layer in drawn.layers for ring in layer.rings]

    assert unary_union(layers).area == pytest.approx(swept.area, abs=2e-3)
    assert sum(layer.area for layer in layers) == pytest.approx(swept.area, abs=2e-3)


@given(st.integers(24_200, 28_000), st.integers(1, 1500))
def test_a_layer_has_the_area_of_the_closed_formula(start: int, step: int) -> None:
    low, high = Length(start * 1000), Length((start + step) * 1000)

    drawn = draw_section(HUB, KEYWAY, BROACH, BUSHING, (), (low, high))

    expected = corner_area(12.5, 8.0, low.in_mm - 12.5, high.in_mm - 12.5)
    assert area(drawn.layers[1].rings) == pytest.approx(expected, abs=2e-3)


def test_a_cut_below_the_crown_of_the_bore_takes_two_corners() -> None:
    drawn = section(1, readings=(MM("24.7"),))

    left, right = drawn.layers[0].rings
    assert area((left,)) == pytest.approx(area((right,)))
    assert max(x for x, _ in left) < 0 < min(x for x, _ in right)


def test_a_layer_has_corners_where_the_last_floor_met_the_wall_of_the_bore() -> None:
    # A floor at 12.1 mm over the axis of a bore of 25 mm.
    drawn = section(2, readings=(MM("24.6"), MM("26")))
    side = round(sqrt(12.5**2 - 12.1**2), 9)

    corners = {(round(x, 9), round(y, 9)) for ring in drawn.layers[1].rings for x, y in ring}
    assert {(-side, 12.1), (side, 12.1)} <= corners


@pytest.mark.parametrize(("root", "shoulder"), [(MM(10), 10), (None, 12.8)])
def test_every_piece_is_drawn_in_its_own_figures(root: Length | None, shoulder: float) -> None:
    broach = replace(BROACH, root_height=root)
    drawn = draw_section(HUB, KEYWAY, broach, BUSHING, SHIMS, READINGS)

    seat = drawn.body.bottom
    assert (drawn.body.width, drawn.teeth.width) == (7.95, 8)
    assert (drawn.body.top - seat, drawn.teeth.top - seat) == pytest.approx((shoulder, 14))
    assert [shim.width for shim in drawn.shims] == [7.9] * 3
    assert (drawn.slot.width, drawn.slot.top) == (8.05, drawn.bushing.y + drawn.bushing.radius)
    assert (drawn.hub, drawn.bore) == (Circle(0, 0, 25), Circle(0, 0, 12.5))
    assert (drawn.bushing.x, drawn.bushing.radius, drawn.keyway.bottom) == (0, 12.485, 0)


def test_a_cut_that_touches_nothing_takes_nothing() -> None:
    drawn = section(1, readings=(MM("24"),))

    assert drawn.layers[0].rings == ()


def test_the_keyway_asked_for_is_drawn_with_its_floor_and_limits() -> None:
    drawn = section()

    assert drawn.keyway.width == 8.0
    assert (drawn.floor_low, drawn.keyway.top, drawn.floor_high) == pytest.approx((15.8, 15.9, 16.0))


def test_the_hub_is_drawn_where_its_diameter_is_known() -> None:
    bare = Hub(bore=HUB.bore, length=HUB.length)

    assert section().hub is not None
    assert section(hub=bare).hub is None


def test_a_circle_is_a_ring_of_its_own_area() -> None:
    ring = section().bore.ring()

    assert Polygon(ring).area == pytest.approx(pi * 12.5**2, rel=1e-3)


def test_a_circle_and_a_rectangle_lie_where_they_are_said_to() -> None:
    circle, rectangle = Polygon(Circle(3, 5, 2).ring()), Polygon(Rectangle(4, -1, 2).ring())

    assert circle.bounds == pytest.approx((1, 3, 5, 7), abs=1e-2)
    assert circle.area == pytest.approx(pi * 4, rel=1e-3)
    assert (rectangle.bounds, rectangle.area) == ((-2, -1, 2, 2), 12)


def test_a_piece_that_was_not_measured_cannot_be_drawn() -> None:
    with pytest.raises(InputError, match="G9: outside diameter is not measured"):
        draw_section(HUB, KEYWAY, BROACH, replace(BUSHING, tag="G9", outside_diameter=None), (), READINGS[:1])
    with pytest.raises(InputError, match="G9: web is not measured"):
        draw_section(HUB, KEYWAY, BROACH, Bushing(tag="G9"), (), READINGS[:1])
