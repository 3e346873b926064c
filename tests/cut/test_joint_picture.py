"""The shapes of a joint held against closed formulas and polygons that shapely reckons with."""

from __future__ import annotations

from math import asin, pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon

from broachplan.cut.joint_picture import JointSection, draw_joint
from broachplan.keyways.joint import Joint
from broachplan.keyways.key import KeySize, read_number
from broachplan.keyways.parallel import joint
from broachplan.lengths import Length
from broachplan.standards.metric_keys import metric_keys
from broachplan.standards.named import Standard


def inch(text: str) -> Length:
    return Length.inches(text)


def segment(radius: float, width: float) -> float:
    """Area between a chord and its arc."""
    half = width / 2
    return radius**2 * asin(half / radius) - half * sqrt(radius**2 - half**2)


def holds(answer: Joint, section: JointSection) -> None:
    """The areas of shaft and bore are those of the circle, the slot and the arc over it."""
    radius = answer.diameter.in_mm / 2
    shaft, bore = Polygon(section.shaft), Polygon(section.bore)
    seat, keyway = answer.shaft.width.nominal.in_mm, answer.hub.width.nominal.in_mm
    chord = sqrt(radius**2 - (keyway / 2) ** 2)
    taken = answer.shaft.at_edge.in_mm * seat + segment(radius, seat)
    added = (answer.hub.reading.nominal.in_mm - radius - chord) * keyway - segment(radius, keyway)
    assert shaft.is_valid
    assert bore.is_valid
    assert shaft.area == pytest.approx(pi * radius**2 - taken, rel=2e-3)
    assert bore.area == pytest.approx(pi * radius**2 + added, rel=2e-3)


@given(place=st.integers(min_value=0, max_value=len(metric_keys()) - 1), share=st.integers(1, 10))
def test_shaft_and_bore_have_the_areas_of_the_circle_the_slot_and_the_arc(place: int, share: int) -> None:
    row = metric_keys()[place]
    over, to = row.shaft_over.nm, row.shaft_to.nm
    answer = joint(Length(over + (to - over) * share // 10), standard=Standard.METRIC)

    holds(answer, draw_joint(answer))


def test_the_key_rests_on_the_seat_s_floor_and_leaves_the_top_clearance_of_the_standard() -> None:
    section = draw_joint(joint(inch("7/8"), standard=Standard.INCH, key=KeySize(inch("1/4"), None)))

    (key,) = section.key
    radius = section.around.radius
    # ASME B17.1: 0.005 in on top of a parallel key; common practice, no source: 0.1432 in below the top of the arc.
    assert section.keyway.top - key.top == pytest.approx(0.005 * 25.4, abs=1e-5)
    assert radius - key.bottom == pytest.approx(0.1432 * 25.4, abs=2e-3)
    assert key.bottom == section.seat.bottom
    assert key.width == pytest.approx(0.25 * 25.4)


def test_a_stepped_key_is_two_blocks_that_meet_clear_of_the_shaft() -> None:
    answer = joint(
        inch("1"),
        standard=Standard.INCH,
        key=KeySize(inch("1/4"), None),
        hub_key=KeySize(inch("5/16"), None),
    )

    low, high = draw_joint(answer).key

    assert (low.width, high.width) == (pytest.approx(6.35), pytest.approx(7.9375))
    assert low.top == high.bottom
    assert low.bottom == draw_joint(answer).seat.bottom
    corner = Polygon(high.ring()).intersection(Polygon(draw_joint(answer).shaft))
    assert corner.area == pytest.approx(0, abs=0.01)


def test_keys_of_one_width_and_two_heights_make_one_block_from_the_seat_s_floor() -> None:
    answer = joint(
        inch("1"),
        standard=Standard.INCH,
        key=KeySize(inch("1/4"), None),
        hub_key=KeySize(inch("1/4"), inch("3/16")),
    )
    section = draw_joint(answer)

    (key,) = section.key
    assert (key.width, key.bottom) == (pytest.approx(6.35), section.seat.bottom)
    assert key.top == pytest.approx(answer.over_key.in_mm - section.around.radius)


def test_the_slots_reach_from_the_axis_side_to_their_floors() -> None:
    answer = joint(inch("1.375"), standard=Standard.INCH, key=KeySize(inch("3/8"), None))
    section = draw_joint(answer)

    radius = answer.diameter.in_mm / 2
    assert (section.around.x, section.around.y, section.around.radius) == (0, 0, radius)
    assert (section.seat.top, section.keyway.bottom) == (radius, 0)
    assert section.keyway.width == answer.hub.width.nominal.in_mm


def test_a_woodruff_key_projects_as_high_over_the_edge_as_its_seat_lets_it() -> None:
    answer = joint(inch("7/8"), standard=Standard.WOODRUFF, key=read_number("406"))
    section = draw_joint(answer)

    (key,) = section.key
    edge = sqrt(section.around.radius**2 - (section.seat.width / 2) ** 2)
    # Common practice, no source: number 406 projects 0.0625 in above the shaft, its edge the datum.
    assert key.top - edge == pytest.approx(0.0625 * 25.4, abs=2e-3)
    holds(answer, section)
