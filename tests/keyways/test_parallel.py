"""The keyway of a hub: by the standard, by its own figures, or by both."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.errors import InputError
from broachplan.keyways.key import read_key
from broachplan.keyways.keyway import Keyway
from broachplan.keyways.parallel import hub_keyway, joint, middle
from broachplan.lengths import Length, Limits, parse_length, read_limits
from broachplan.standards.inch_keys import inch_keys
from broachplan.standards.metric_keys import metric_keys
from broachplan.standards.named import Fit, Shape, Standard

BOTH = pytest.mark.parametrize("standard", [Standard.INCH, Standard.METRIC])
BORES = {
    Standard.INCH: (inch_keys()[0].shaft_over.nm + 1, inch_keys()[-1].shaft_to.nm),
    Standard.METRIC: (metric_keys()[0].shaft_over.nm + 1, metric_keys()[-1].shaft_to.nm),
}


def hub(
    bore: str,
    standard: Standard = Standard.INCH,
    key: str = "",
    reading: str = "",
    width: str = "",
    aim: str = "",
    shape: Shape | None = None,
    fit: Fit | None = None,
    top_clearance: bool = True,
) -> Keyway:
    return hub_keyway(
        read_limits(bore).limits,
        standard=standard,
        key=read_key(key) if key else None,
        shape=shape,
        fit=fit,
        top_clearance=top_clearance,
        reading=read_limits(reading) if reading else None,
        width=read_limits(width) if width else None,
        aim=parse_length(aim) if aim else None,
    )


def limits(text: str) -> Limits:
    return read_limits(text).limits


@BOTH
@given(data=st.data())
def test_a_hub_by_the_standard_has_the_joint_s_figures(standard: Standard, data: st.DataObject) -> None:
    bore = Length(data.draw(st.integers(*BORES[standard])))
    keyway, whole = hub_keyway(Limits.exactly(bore), standard=standard), joint(bore, standard=standard)

    assert (keyway.width, keyway.reading, keyway.depth_at_wall) == (
        whole.hub.width,
        whole.hub.reading,
        whole.hub.depth,
    )
    assert (keyway.arc, keyway.shape, keyway.source, keyway.status) == (
        whole.arc,
        whole.key.shape,
        whole.source,
        whole.status,
    )
    assert whole.remarks == (*([keyway.off_table] if keyway.off_table else []), *keyway.remarks)


@BOTH
@given(data=st.data())
def test_the_depth_at_the_wall_is_the_reading_less_what_lies_across(
    standard: Standard, data: st.DataObject
) -> None:
    bore = Length(data.draw(st.integers(*BORES[standard])))
    keyway = hub_keyway(Limits.exactly(bore), standard=standard)

    assert abs(keyway.depth_at_wall - (keyway.reading.nominal - (bore - keyway.arc))) <= Length(1)


@given(st.integers(1, 10**9), st.integers(0, 10**7))
def test_the_middle_of_limits_is_half_even(lower: int, spread: int) -> None:
    found = middle(Limits(Length(lower), Length(lower), Length(lower + spread)))
    twice = 2 * found.nm - (2 * lower + spread)

    assert twice == 0 or (abs(twice) == 1 and found.nm % 2 == 0)


def test_the_drawing_s_figures_use_the_nominal_bore() -> None:
    wide, exact = hub("1 in +0.010 -0.010"), hub("1 in")

    assert wide == exact


def test_the_aim_is_the_middle_unless_it_is_set() -> None:
    assert hub("25 mm", Standard.METRIC).aim == Length.mm("28.4")
    assert hub("25 mm", Standard.METRIC, aim="28.35 mm").aim == Length.mm("28.35")


def test_an_aim_outside_the_reading_s_limits_is_refused() -> None:
    with pytest.raises(
        InputError,
        match=r"aim 1\.1260 in \(28\.600 mm\): it must lie within the reading's limits, 1\.1142 to 1\.1220 in \(28\.300 to 28\.500 mm\)",
    ):
        hub("25 mm", Standard.METRIC, aim="28.6 mm")


def test_an_inch_key_goes_into_a_metric_bore() -> None:
    keyway = hub("25 mm", Standard.INCH, key="1/4 in")

    assert keyway.width.nominal == Length.inches("0.25")
    assert keyway.depth_at_wall == Length.inches("0.13")
    assert keyway.off_table is None


def test_another_key_than_the_table_s_is_shown_apart_from_the_remarks() -> None:
    keyway = hub("1-3/8 in", key="3/8 in")

    assert keyway.remarks == ()
    assert keyway.off_table is not None
    assert "key 3/8 x 3/8 in is not the table's for 1-3/8 in, which is 5/16 x 5/16 in" in keyway.off_table


def test_a_keyway_by_its_own_limits_needs_no_standard() -> None:
    for standard in Standard:
        keyway = hub("5 mm", standard, reading="5.9 mm +0.1 -0", width="1.5 mm +0.02 -0")

        assert keyway.standard is Standard.OWN
        assert (keyway.source, keyway.status, keyway.off_table) == ("given by the user", "given", None)
        assert (keyway.reading, keyway.width) == (limits("5.9 mm +0.1 -0"), limits("1.5 mm +0.02 -0"))
        assert keyway.aim == Length.mm("5.95")
        assert keyway.depth_at_wall == keyway.reading.nominal - Length.mm(5) + keyway.arc


def test_a_taper_keyway_by_its_own_limits_stays_a_taper() -> None:
    assert (
        hub("1 in", reading="1.1 in ±0.005", width="1/4 in +0.002 -0", shape=Shape.TAPER).shape is Shape.TAPER
    )


def test_a_reading_without_limits_takes_the_standard_s_round_it() -> None:
    inch, metric = hub("1 in", reading="1.120 in"), hub("25 mm", Standard.METRIC, reading="28.35 mm")

    assert inch.reading == limits("1.120 in +0.010 -0.000")
    assert metric.reading == limits("28.35 mm +0.2 -0")
    assert inch.depth_at_wall == Length.inches("1.120") - (Length.inches(1) - inch.arc)
    assert (inch.status, inch.standard) == ("given", Standard.INCH)
    assert inch.source.endswith("; reading given by the user")


def test_a_keyway_width_without_limits_takes_the_standard_s_round_it() -> None:
    inch, metric = hub("1 in", width="0.251 in"), hub("25 mm", Standard.METRIC, width="8.01 mm", fit=Fit.FREE)

    assert inch.width == limits("0.251 in +0.002 -0.000")
    assert inch.reading == hub("1 in").reading
    assert metric.width == limits("8.01 mm +0.098 +0.040")
    assert inch.source.endswith("; keyway width given by the user")


def test_a_keyway_as_wide_as_another_key_of_the_table_is_for_that_key() -> None:
    keyway = hub("1-3/8 in", width="3/8 in")

    assert keyway.reading == hub("1-3/8 in", key="3/8 in").reading
    assert keyway.off_table == hub("1-3/8 in", key="3/8 in").off_table


def test_a_keyway_wider_than_its_key_is_reported() -> None:
    keyway = hub("1 in", key="1/4 in", width="0.3 in +0.002 -0")

    assert keyway.off_table == "keyway width 0.3 in with the key 1/4 x 1/4 in: the reading is for that key"
    assert hub("1 in", key="1/4 in", width="0.255 in").off_table is None


def test_width_and_reading_without_limits_take_the_standard_s_for_that_width() -> None:
    inch = hub("0.2 in", reading="0.23 in", width="1/16 in")
    metric = hub("25 mm", Standard.METRIC, reading="27.9 mm", width="6 mm")

    assert inch.width == limits("1/16 in +0.002 -0")
    assert inch.reading == limits("0.23 in +0.010 -0")
    assert metric.width == limits("6 mm +0.015 -0.015")
    assert metric.reading == limits("27.9 mm +0.1 -0")
    assert inch.off_table is None
    assert metric.off_table is None


def test_given_limits_need_no_figure_of_the_standard() -> None:
    """The inch standard has no square keyseats over 3-1/2 in."""
    keyway = hub("16 in", key="4 x 4 in", reading="17.7 in ±0.01", width="4 in +0.004 -0")

    assert keyway.width == limits("4 in +0.004 -0")


def test_class_2_remarks_only_on_the_figures_that_were_used() -> None:
    keyway = hub("1 in", fit=Fit.CLASS_2, width="1/4 in +0.002 -0")

    assert keyway.remarks == ("from memory, not seen in print: depth limits of class 2",)
    assert keyway.status == "memory"


def test_without_top_clearance_the_reading_is_less_and_from_memory() -> None:
    keyway = hub("25 mm", Standard.METRIC, top_clearance=False)

    assert keyway.reading == limits("27.4 mm +0.2 -0")
    assert keyway.status == "memory"


@pytest.mark.parametrize(
    ("asked", "message"),
    [
        ({"bore": "1/4 in"}, "the inch table goes from over 5/16 in to 30 in, and this is 1/4 in; name the key, or"),
        ({"bore": "1/4 in", "reading": "0.3 in ±0.01"}, "keyway width and reading, both with limits"),
        ({"bore": "5 mm", "standard": Standard.METRIC, "width": "1.5 mm", "reading": "5.9 mm"}, "both with limits"),
        ({"bore": "1 in", "standard": Standard.OWN, "width": "1/4 in +0.002 -0"},
         "keyway: without a standard, give the keyway width and the reading, both with limits"),
        ({"bore": "1 in", "standard": Standard.OWN, "width": "1/4 in", "reading": "1.1 in ±0.01"}, "both with limits"),
        ({"bore": "1 in", "key": "1 in"}, "keyway width 1 in: it must be less than the bore or shaft, 1 in"),
        ({"bore": "1 in +0 -0.01", "width": "0.98 in +0.02 -0", "reading": "1.4 in ±0.01"},
         r"keyway width up to 1 in: it must be less than the bore, 0\.99 in"),
        ({"bore": "1 in", "width": "1/4 in ±0.001", "reading": "0.98 in ±0.001"},
         r"reading from 0\.979 in: it must be more than \S+ (in|mm), where the keyway's sides meet the bore"),
        ({"bore": "25 mm", "standard": Standard.METRIC, "key": "8 mm", "fit": Fit.CLOSE, "width": "0.02 mm"},
         r"keyway width 0\.02 mm: its lower limit must be above zero"),
        ({"bore": "1 in", "fit": Fit.FREE}, "fit: read free; the inch standard has class 1 or 2"),
        ({"bore": "1 in", "top_clearance": False}, "no top clearance: only the metric standard has such keyways"),
    ],
)  # fmt: skip
def test_what_cannot_be_a_keyway_is_refused(asked: dict[str, object], message: str) -> None:
    with pytest.raises(InputError, match=message):
        hub(**asked)  # type: ignore[arg-type]
