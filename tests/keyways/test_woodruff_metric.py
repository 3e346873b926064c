"""Metric Woodruff keys, every row, against ISO 3912 / GB/T 1098."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.errors import InputError
from broachplan.keyways.joint import Joint
from broachplan.keyways.key import KeySize
from broachplan.keyways.keyway import arc_height
from broachplan.keyways.parallel import hub_keyway, joint
from broachplan.lengths import Length, Limits
from broachplan.standards.named import Fit, Shape, Standard
from broachplan.standards.woodruff import Shafts, metric_woodruffs
from tests.keyways.published import published_rows

PUBLISHED = published_rows("iso_3912_woodruff.csv")
every_row = pytest.mark.parametrize("row", PUBLISHED, ids=lambda row: f"{row['b_mm']}x{row['h_mm']}")
torque_shafts = st.integers(3_000_001, 38_000_000).map(Length)


def metric(
    diameter: Length, width: str = "", height: str = "", shape: Shape | None = None, fit: Fit | None = None
) -> Joint:
    key = KeySize(Length.mm(width), Length.mm(height) if height else None) if width else None
    return joint(diameter, standard=Standard.WOODRUFF_METRIC, key=key, shape=shape, fit=fit)


def of(row: dict[str, str], diameter: Length | None = None) -> Joint:
    return metric(diameter or Length.mm(row["torque_to_mm"]), row["b_mm"], row["h_mm"])


def test_the_table_is_whole() -> None:
    assert len(PUBLISHED) == len(metric_woodruffs()) == 16


@every_row
def test_the_key_and_its_depths_are_the_published_ones(row: dict[str, str]) -> None:
    answer, diameter = of(row), Length.mm(row["torque_to_mm"])

    assert (answer.key.width, answer.key.height) == (Length.mm(row["b_mm"]), Length.mm(row["h_mm"]))
    assert answer.key.diameter == Length.mm(row["d_mm"])
    assert answer.shaft.depth == Length.mm(row["t1_mm"])
    assert answer.shaft.reading.nominal == diameter - Length.mm(row["t1_mm"])
    assert answer.hub.reading.nominal == diameter + Length.mm(row["t2_mm"])


@every_row
def test_deeper_is_less_in_the_shaft_and_more_in_the_hub(row: dict[str, str]) -> None:
    shaft, hub = of(row).shaft.reading, of(row).hub.reading

    assert (shaft.upper, shaft.nominal - shaft.lower) == (shaft.nominal, Length.mm(row["t1_plus_mm"]))
    assert (hub.lower, hub.upper - hub.nominal) == (hub.nominal, Length.mm(row["t2_plus_mm"]))


@every_row
def test_the_shafts_of_both_columns_are_the_published_ones(row: dict[str, str]) -> None:
    (found,) = [
        key
        for key in metric_woodruffs()
        if key.width == Length.mm(row["b_mm"]) and key.height == Length.mm(row["h_mm"])
    ]

    for column, span in (("torque", found.torque), ("locating", found.locating)):
        over, to = row[f"{column}_over_mm"], row[f"{column}_to_mm"]
        assert span == (Shafts(Length.mm(over), Length.mm(to) if to else None) if over else None)


@every_row
def test_the_table_s_key_for_a_shaft_that_carries_torque_is_the_published_one(row: dict[str, str]) -> None:
    for diameter in (Length.mm(row["torque_over_mm"]) + Length(1), Length.mm(row["torque_to_mm"])):
        assert metric(diameter).key == of(row, diameter).key


@every_row
def test_corners_are_the_published_ones(row: dict[str, str]) -> None:
    corners = of(row).corners

    assert corners is not None
    assert corners.radius == (Length.mm(row["r_min_mm"]), Length.mm(row["r_max_mm"]))
    assert corners.status == "read"


@given(torque_shafts, st.sampled_from([Fit.CLOSE, Fit.NORMAL, Fit.FREE]))
def test_the_figures_of_one_joint_fit_together(diameter: Length, fit: Fit) -> None:
    answer = metric(diameter, fit=fit)
    arc = arc_height(diameter, answer.key.width)

    assert answer.over_key == answer.shaft.reading.nominal + answer.key.height
    assert (answer.arc, answer.shaft.at_edge) == (arc, answer.shaft.depth - arc)
    assert answer.hub.depth == answer.hub.at_edge == answer.hub.reading.nominal - diameter + arc
    assert answer.over_key < answer.hub.reading.nominal


@given(torque_shafts)
def test_a_hub_keyway_has_the_joint_s_figures(diameter: Length) -> None:
    keyway = hub_keyway(Limits.exactly(diameter), standard=Standard.WOODRUFF_METRIC)
    whole = metric(diameter)

    assert (keyway.width, keyway.reading, keyway.arc) == (whole.hub.width, whole.hub.reading, whole.arc)
    assert keyway.depth_at_wall == whole.hub.depth


def test_a_key_names_its_column_of_the_table_and_the_other_one() -> None:
    assert metric(Length.mm(17)).remarks[0] == (
        "5 x 6.5 x 16 mm is from the table's column for shafts that carry torque; "
        "the column for keys that only locate has 3 x 6.5 x 16 mm"
    )
    assert "column" not in metric(Length.mm(17), "5", "6.5").remarks[0]


def test_a_named_key_that_is_only_for_locating_is_a_remark() -> None:
    assert metric(Length.mm(24), "5", "6.5").remarks[0] == (
        "the table has key 5 x 6.5 x 16 mm for 24 mm only to locate; to carry torque it has 6 x 9 x 22 mm"
    )


def test_a_named_key_of_neither_column_is_a_remark() -> None:
    assert metric(Length.mm(30), "5", "6.5").remarks[0] == (
        "key 5 x 6.5 x 16 mm is not the Woodruff table's for 30 mm, which is 8 x 11 x 28 mm"
    )
    assert metric(Length.mm(90), "5", "6.5").remarks[0] == (
        "key 5 x 6.5 x 16 mm is not the Woodruff table's for 90 mm"
    )


def test_a_width_alone_takes_the_key_for_the_shaft_or_the_only_one() -> None:
    assert metric(Length.mm(19), "5").key.height == Length.mm("7.5")
    assert metric(Length.mm(30), "10").key.height == Length.mm(13)


def test_width_limits_follow_the_fit_and_are_from_memory() -> None:
    """ISO 286: N9 and JS9, P9 and P9 for a key 5 mm wide, in micrometres; that Woodruff keys take them is from memory."""
    normal, close = metric(Length.mm(17)), metric(Length.mm(17), fit=Fit.CLOSE)

    for limits, (lower, upper) in (
        (normal.shaft.width, (-30, 0)),
        (normal.hub.width, (-15, 15)),
        (close.shaft.width, (-42, -12)),
        (close.hub.width, (-42, -12)),
    ):
        assert limits.lower == Length.mm(5) + Length(lower * 1000)
        assert limits.upper == Length.mm(5) + Length(upper * 1000)
    assert normal.status == "memory"
    assert normal.remarks[-1] == "from memory, not seen in print: shaft width limits, hub width limits"
    assert normal.clearances[0].stock.status == "memory"


def test_the_cutter_has_the_key_s_diameter_without_limits() -> None:
    cutter = metric(Length.mm(17)).cutter

    assert cutter is not None
    assert (cutter.number, cutter.diameter, cutter.diameter_limits) == (None, Length.mm(16), None)


def test_a_keyseat_past_the_middle_of_the_shaft_is_a_remark() -> None:
    said = "the keyseat cuts past the middle of the shaft"

    assert said in metric(Length.mm("13.9"), "5", "9").remarks
    assert said not in metric(Length.mm(14), "5", "9").remarks


@pytest.mark.parametrize(
    ("diameter", "width", "height", "shape", "fit", "message"),
    [
        ("3", "", "", None, None, "goes from over 3 mm to 38 mm for shafts that carry torque, and this is 3 mm; name a key of 1 x 1.4 x 4, "),
        ("38.01", "", "", None, None, "and this is 38.01 mm; name a key of .* 10 x 13 x 32 mm$"),
        ("20", "7", "", None, None, "no key 7 mm wide; it has 1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10 mm$"),
        ("20", "5", "8", None, None, "no metric Woodruff key 5 mm wide is 8 mm high; those of this width are 5 x 6.5 x 16, 5 x 7.5 x 19, 5 x 9 x 22 mm"),
        ("30", "5", "", None, None, "several metric Woodruff keys are 5 mm wide: 5 x 6.5 x 16, .* mm; write width x height"),
        ("20", "", "", Shape.SQUARE, None, "shape: read square; a Woodruff key has a shape of its own"),
        ("20", "", "", None, Fit.CLASS_1, "fit: read 1; metric Woodruff keys have close, normal or free"),
        ("5", "5", "6.5", None, None, "it must be less than the bore or shaft, 5 mm"),
        ("6.7", "6", "9", None, None, "key 6 x 9 x 22 mm: too deep for a shaft or bore of 6.7 mm"),
        ("8.01", "8", "11", None, None, "key 8 x 11 x 28 mm: too deep"),
    ],
)  # fmt: skip
def test_what_the_standard_does_not_have_is_refused(
    diameter: str, width: str, height: str, shape: Shape | None, fit: Fit | None, message: str
) -> None:
    with pytest.raises(InputError, match=message):
        metric(Length.mm(diameter), width, height, shape, fit)
