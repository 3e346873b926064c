"""The web taken over a broach, against the parallel faces of a micrometer round the outline of both."""

from __future__ import annotations

from math import atan, cos, radians, sin
from math import degrees as degrees_of

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, Polygon, affinity, box

from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.tooling.web_over import Tooth, WebOver, is_over, read_over


def between_faces(outline: Polygon, degrees: float) -> float:
    """How far parallel faces round an outline are apart, the outline turned by an angle."""
    _, bottom, _, top = affinity.rotate(outline, degrees, origin=(0, 0)).bounds
    return top - bottom


@given(
    outside=st.integers(500, 3000),
    slot=st.integers(25, 75),
    floor=st.integers(20, 60),
    above=st.integers(5, 400),
)
def test_the_least_reading_of_a_rocked_micrometer_less_the_height_is_the_web(
    outside: int, slot: int, floor: int, above: int
) -> None:
    """In thousandths of an inch: a bushing with a slot, a broach with its back on the slot floor and its edge outside."""
    radius, width = outside / 2, outside * slot / 200
    web = outside * floor / 100
    height = outside + above - web
    tooth = box(-width / 2, web - radius, width / 2, web - radius + height)
    bushing = (
        Point(0, 0).buffer(radius, quad_segs=720).difference(box(-width / 2, web - radius, width / 2, radius))
    )
    outline = bushing.union(tooth)

    square = between_faces(outline, 0)
    # Rocked farther than this the tooth's corner comes down again.
    most = degrees_of(atan(width / 2 / (square - radius)))
    for share in (-1, -0.5, -0.1, 0.1, 0.5, 1):
        turned = radians(most * share)
        by_formula = radius + (square - radius) * cos(turned) + width / 2 * sin(abs(turned))
        assert between_faces(outline, most * share) == pytest.approx(by_formula, rel=1e-5)
        assert between_faces(outline, most * share) > square
    reading = Length.inches(str(round(square, 6) / 1000))
    found = WebOver(reading, "BR-1").web(Length.inches(str(height / 1000)))
    assert found.nm / 25_400 == pytest.approx(web, abs=0.002 + 1e-5 * outside)


@pytest.mark.parametrize(
    ("text", "reading", "tag", "tooth"),
    [
        ("1.4382 in over BR-0250-A", Length.inches("1.4382"), "BR-0250-A", Tooth.LAST),
        ("36,53 mm over BR 6 first", Length.mm("36.53"), "BR 6", Tooth.FIRST),
        ('1-7/16" over BR-1 at last tooth', Length.inches("23/16"), "BR-1", Tooth.LAST),
    ],
)
def test_a_reading_over_a_broach_names_the_broach_and_the_tooth(
    text: str, reading: Length, tag: str, tooth: Tooth
) -> None:
    assert is_over(text)
    assert read_over(text) == WebOver(reading, tag, tooth)


def test_a_reading_that_cannot_be_is_refused_with_the_height() -> None:
    assert not is_over("1.4382 in")
    assert not is_over(f"1.4382 in{' ' * 200_000}over BR-1")
    with pytest.raises(
        InputError, match=r"over the last tooth of BR-1 it must be more than its height, 0\.8 in"
    ):
        WebOver(Length.inches("0.8"), "BR-1").web(Length.inches("0.8"))
    with pytest.raises(InputError, match="without a unit"):
        read_over("1.4382 over BR-1")
