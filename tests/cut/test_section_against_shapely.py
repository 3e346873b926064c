"""The section's heights and areas against polygons: shapely draws the bore as 16,384 chords.

What a polygon misses: each chord of an inscribed polygon lies below its arc by at most rho (1 - cos(pi / N)), N the
number of chords, so an area is out by no more than that height times the length of arc in the window (at most pi rho), and
the height of a corner by that height over the slope of the circle there.
"""

from __future__ import annotations

from math import cos, pi, sqrt

import pytest
from hypothesis import assume, event, given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, box

from broachplan.cut.section import Section
from broachplan.lengths import Length

QUAD_SEGS = 4096
ROUNDING = 1e-9

bores = st.integers(3_000_000, 150_000_000)
shares = st.integers(5, 999).map(lambda thousandths: thousandths / 1000)
heights = st.integers(0, 1_000_000).map(lambda millionths: millionths / 1_000_000)


def bore_polygon(bore_mm: float) -> Polygon:
    """The open bore, resting on the wall opposite the keyway."""
    return Point(0.0, bore_mm / 2).buffer(bore_mm / 2, quad_segs=QUAD_SEGS)


def sagitta(bore_mm: float) -> float:
    """How far the polygon's chords lie inside the circle, mm."""
    return bore_mm / 2 * (1 - cos(pi / (4 * QUAD_SEGS)))


@settings(max_examples=40, deadline=None)
@given(bores, shares, heights, heights)
def test_the_metal_between_two_heights_equals_a_box_less_the_bore(
    bore: int, share: float, one: float, other: float
) -> None:
    width = round(bore * share)
    bore_mm, width_mm = bore / 1e6, width / 1e6
    low, high = (bore_mm * (0.5 + 0.8 * part) for part in sorted((one, other)))
    assume(high > low)
    event("over the bore" if low >= bore_mm else "across the top" if high > bore_mm else "within the bore")

    metal = box(-width_mm / 2, low, width_mm / 2, high).difference(bore_polygon(bore_mm))

    off = sagitta(bore_mm) * pi * bore_mm / 2 + ROUNDING * bore_mm
    assert Section(Length(bore), Length(width)).area_mm2(low, high) == pytest.approx(
        metal.area, rel=1e-9, abs=off
    )


@settings(max_examples=40, deadline=None)
@given(bores, shares)
def test_the_first_metal_is_where_the_keyways_side_leaves_the_bore(bore: int, share: float) -> None:
    width = round(bore * share)
    bore_mm, side = bore / 1e6, width / 2e6

    line = LineString([(side, bore_mm / 2), (side, 2 * bore_mm)])
    corner = bore_polygon(bore_mm).intersection(line).bounds[3]

    slope = sqrt(1 - (2 * side / bore_mm) ** 2)
    off = 2 * sagitta(bore_mm) / slope + ROUNDING * bore_mm
    assert Section(Length(bore), Length(width)).first_metal_mm == pytest.approx(corner, abs=off)


@settings(max_examples=40, deadline=None)
@given(bores, shares, heights)
def test_below_the_first_metal_there_is_none(bore: int, share: float, part: float) -> None:
    section = Section(Length(bore), Length(round(bore * share)))
    low = bore / 2e6

    assert section.area_mm2(low, low + (section.first_metal_mm - low) * part) == pytest.approx(
        0.0, abs=ROUNDING
    )


@settings(max_examples=40, deadline=None)
@given(bores, shares, heights, heights, heights)
def test_areas_add_up_over_a_height_between(
    bore: int, share: float, one: float, two: float, three: float
) -> None:
    section = Section(Length(bore), Length(round(bore * share)))
    foot = section.first_metal_mm
    low, middle, high = (foot + part * bore / 2e6 for part in sorted((one, two, three)))

    parts = section.area_mm2(low, middle) + section.area_mm2(middle, high)
    assert parts == pytest.approx(section.area_mm2(low, high), rel=1e-9, abs=ROUNDING)
