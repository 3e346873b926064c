"""The arc and the section of a Woodruff joint against polygons of 16,384 chords."""

from __future__ import annotations

from math import cos, pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point, box

from broachplan.keyways.key import read_key
from broachplan.keyways.parallel import joint
from broachplan.lengths import Length
from broachplan.standards.named import Standard
from broachplan.standards.woodruff import InchWoodruff, inch_woodruffs

QUAD_SEGS = 4096


def sagitta(diameter_mm: float) -> float:
    """How far the polygon's chords lie inside the circle, mm."""
    return diameter_mm / 2 * (1 - cos(pi / (4 * QUAD_SEGS)))


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(inch_woodruffs()), st.integers(100, 1000))
def test_readings_are_where_a_drawn_keyway_has_its_floor(row: InchWoodruff, percent: int) -> None:
    least = row.width.nm + 2 * row.shaft_depth.upper.nm
    diameter = Length(least * percent // 100)
    answer = joint(diameter, standard=Standard.WOODRUFF, key=read_key(row.number, Standard.WOODRUFF))
    across = diameter.in_mm
    disc = Point(0.0, across / 2).buffer(across / 2, quad_segs=QUAD_SEGS)

    for width, depth, reading in (
        (row.width, -row.shaft_depth.nominal.in_mm, answer.shaft.reading),
        (row.hub_width.nominal, row.hub_depth.nominal.in_mm, answer.hub.reading),
    ):
        half = width.in_mm / 2
        # The edges are where the sides of the keyway leave the circle, in its upper half.
        sides = box(-half, across / 2, half, 2 * across).boundary.intersection(disc.boundary)
        edge = min(point.y for point in sides.geoms)
        slope = half / max((across * across / 4 - half * half) ** 0.5, 1e-9)
        assert reading.nominal.in_mm == pytest.approx(
            edge + depth, abs=sagitta(across) * (1 + slope) * 2 + 1e-6
        )
