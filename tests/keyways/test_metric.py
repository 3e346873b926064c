"""Metric keys, every row, against ISO 773 / DIN 6885-1; width limits are held in tests/standards."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.errors import InputError
from broachplan.keyways.joint import Joint
from broachplan.keyways.key import KeySize
from broachplan.keyways.keyway import arc_height
from broachplan.keyways.parallel import joint
from broachplan.lengths import Length
from broachplan.standards.metric_keys import metric_keys
from broachplan.standards.named import Fit, Shape, Standard
from tests.keyways.published import published_rows

PUBLISHED = published_rows("iso_773_keys.csv")
every_row = pytest.mark.parametrize("row", PUBLISHED, ids=lambda row: row["b_mm"])
shafts = st.integers(metric_keys()[0].shaft_over.nm + 1, metric_keys()[-1].shaft_to.nm).map(Length)


def metric(
    diameter: Length,
    width: str = "",
    height: str = "",
    shape: Shape | None = None,
    fit: Fit | None = None,
    top_clearance: bool = True,
) -> Joint:
    key = KeySize(Length.mm(width), Length.mm(height) if height else None) if width else None
    return joint(
        diameter, standard=Standard.METRIC, key=key, shape=shape, fit=fit, top_clearance=top_clearance
    )


def ends(row: dict[str, str]) -> tuple[Length, Length]:
    """The smallest and largest shaft of a row."""
    return Length.mm(row["over_mm"]) + Length(1), Length.mm(row["to_mm"])


def test_the_table_is_whole() -> None:
    assert len(PUBLISHED) == len(metric_keys()) == 26


@every_row
def test_the_key_and_its_depths_are_the_published_ones(row: dict[str, str]) -> None:
    for diameter in ends(row):
        answer = metric(diameter)

        assert (answer.key.width, answer.key.height) == (Length.mm(row["b_mm"]), Length.mm(row["h_mm"]))
        assert answer.shaft.depth == Length.mm(row["t1_mm"])
        assert answer.shaft.reading.nominal == diameter - Length.mm(row["t1_mm"])
        assert answer.hub.reading.nominal == diameter + Length.mm(row["t2_mm"])


@every_row
def test_deeper_is_less_in_the_shaft_and_more_in_the_hub(row: dict[str, str]) -> None:
    answer, limits = metric(ends(row)[1]), Length.mm(row["limits_mm"])

    assert answer.shaft.reading.upper == answer.shaft.reading.nominal
    assert answer.shaft.reading.lower == answer.shaft.reading.nominal - limits
    assert answer.hub.reading.lower == answer.hub.reading.nominal
    assert answer.hub.reading.upper == answer.hub.reading.nominal + limits


@every_row
def test_without_top_clearance_the_hub_is_shallower_and_its_limits_are_from_memory(
    row: dict[str, str],
) -> None:
    diameter = ends(row)[1]
    answer = metric(diameter, top_clearance=False)

    assert answer.hub.reading.nominal == diameter + Length.mm(row["t2_no_top_clearance_mm"])
    assert answer.hub.reading.spread == Length.mm(row["limits_mm"])
    assert answer.status == "memory"
    assert (
        answer.remarks[-1] == "from memory, not seen in print: limits of the hub depth without top clearance"
    )


@given(shafts, st.sampled_from(["close", "normal", "free"]))
def test_the_figures_of_one_joint_fit_together(diameter: Length, fit: str) -> None:
    answer = metric(diameter, fit=Fit(fit))

    assert answer.over_key == answer.shaft.reading.nominal + answer.key.height
    assert answer.arc == arc_height(diameter, answer.key.width)
    assert answer.hub.depth == answer.hub.reading.nominal - diameter + answer.arc
    assert answer.over_key < answer.hub.reading.nominal
    assert answer.status == "read"


@pytest.mark.parametrize(
    ("fit", "shaft", "hub"),
    [("close", (-51, -15), (-51, -15)), ("normal", (-36, 0), (-18, 18)), ("free", (0, 36), (40, 98))],
)
def test_width_limits_follow_the_fit(fit: str, shaft: tuple[int, int], hub: tuple[int, int]) -> None:
    """ISO 286: P9 and P9, N9 and JS9, H9 and D10 for a key 8 mm wide, in micrometres."""
    answer = metric(Length.mm(25), fit=Fit(fit))

    for limits, (lower, upper) in ((answer.shaft.width, shaft), (answer.hub.width, hub)):
        assert limits.lower == Length.mm(8) + Length(lower * 1000)
        assert limits.upper == Length.mm(8) + Length(upper * 1000)


def test_normal_is_the_default_fit() -> None:
    assert metric(Length.mm(25)) == metric(Length.mm(25), fit=Fit.NORMAL)


def test_another_key_of_the_table_is_shown_with_the_table_s_own() -> None:
    assert metric(Length.mm(25), "6").remarks == (
        "key 6 x 6 mm is not the table's for 25 mm, which is 8 x 7 mm",
    )


def test_a_shaft_outside_the_table_takes_a_named_key_and_says_so() -> None:
    assert metric(Length.mm("5.8"), "2").remarks == (
        "the metric table has no key for 5.8 mm: it goes from over 6 mm to 500 mm",
    )


@pytest.mark.parametrize("diameter", ["29.873", "30", "30.127"])
def test_close_to_a_boundary_both_keys_are_named(diameter: str) -> None:
    assert metric(Length.mm(diameter)).remarks == (
        "within 0.127 mm of 30 mm: 8 x 7 mm up to it, 10 x 8 mm over it",
    )


@pytest.mark.parametrize("diameter", ["29.8729", "30.1271"])
def test_further_from_a_boundary_nothing_is_said(diameter: str) -> None:
    assert metric(Length.mm(diameter)).remarks == ()


def test_the_shape_may_be_named_where_it_is_the_key_s() -> None:
    assert metric(Length.mm(20), shape=Shape.SQUARE).key.height == Length.mm(6)
    assert metric(Length.mm(25), shape=Shape.RECTANGULAR).key.height == Length.mm(7)


@pytest.mark.parametrize(
    ("diameter", "width", "height", "shape", "fit", "message"),
    [
        ("5", "", "", None, None, "key: the metric table goes from over 6 mm to 500 mm, and this is 5 mm; name the key"),
        ("25", "7", "", None, None, "no key 7 mm wide; it has 2, 3, 4, .* 100 mm; name one, or the inch standard, or"),
        ("25", "8", "8", None, None, "no key 8 x 8 mm; it has 8 x 7 mm; name that"),
        ("25", "", "", Shape.TAPER, None, "the metric table has parallel keys only"),
        ("25", "", "", Shape.SQUARE, None, "shape: read square; the metric key 8 x 7 mm is rectangular"),
        ("20", "", "", Shape.RECTANGULAR, None, "shape: read rectangular; the metric key 6 x 6 mm is square"),
        ("25", "", "", None, Fit.CLASS_2, "fit: read 2; the metric standard has close, normal or free"),
        ("25", "25", "", None, None, "keyway width 25 mm: it must be less than the bore or shaft, 25 mm"),
        ("51", "50", "", None, None, "key 50 x 28 mm: too wide for a shaft or bore of 51 mm"),
    ],
)  # fmt: skip
def test_what_the_standard_does_not_have_is_refused(
    diameter: str, width: str, height: str, shape: Shape | None, fit: Fit | None, message: str
) -> None:
    with pytest.raises(InputError, match=message):
        metric(Length.mm(diameter), width, height, shape, fit)
