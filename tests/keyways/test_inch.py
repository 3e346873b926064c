"""Inch keys: S and T against ANSI/ASME B17.1-1967 (R2013) as reproduced in Machinery's Handbook."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.errors import InputError
from broachplan.keyways.joint import Joint
from broachplan.keyways.key import KeySize
from broachplan.keyways.parallel import joint
from broachplan.lengths import Length
from broachplan.standards.inch_keys import inch_keys
from broachplan.standards.named import Fit, Shape, Standard
from tests.keyways.exact import FIFTY, d_less_y, half_even
from tests.keyways.published import published_rows

PUBLISHED = published_rows("asme_b17_1_depth_readings.csv")
HALF_THOU = Length.inches("0.0005")
shafts = st.integers(inch_keys()[0].shaft_over.nm + 1, inch_keys()[-1].shaft_to.nm).map(Length)


def inches(text: str) -> Length:
    """``1-1/4`` or a decimal, in inches."""
    return Length.inches(sum((Fraction(part) for part in text.split("-")), Fraction(0)))


def inch(diameter: str | Length, size: str = "", shape: Shape | None = None, fit: Fit | None = None) -> Joint:
    named = [inches(part) for part in size.split("x")] if size else []
    key = KeySize(named[0], named[1] if len(named) > 1 else None) if named else None
    shaft = inches(diameter) if isinstance(diameter, str) else diameter
    return joint(shaft, standard=Standard.INCH, key=key, shape=shape, fit=fit)


def published(row: dict[str, str]) -> Joint:
    size = f"{row['width_in']}x{row['height_in']}"
    return inch(row["shaft_in"], size, Shape.TAPER if row["key"] == "taper" else None)


def row_name(row: dict[str, str]) -> str:
    return f"{row['shaft_in']}-{row['key']}-{row['height_in']}"


def test_the_sample_is_whole_and_names_its_source() -> None:
    assert len(PUBLISHED) == 176
    assert sum(bool(row["note"]) for row in PUBLISHED) == 2
    assert {row["source"] for row in PUBLISHED} == {
        "ANSI/ASME B17.1-1967 (R2013) depth control values, as reproduced in Machinery's Handbook"
    }


@pytest.mark.parametrize("row", [row for row in PUBLISHED if not row["note"]], ids=row_name)
def test_the_shaft_reading_is_the_published_one(row: dict[str, str]) -> None:
    assert abs(published(row).shaft.reading.nominal - inches(row["shaft_reading_in"])) <= HALF_THOU


@pytest.mark.parametrize("row", PUBLISHED, ids=row_name)
def test_the_hub_reading_is_the_published_one(row: dict[str, str]) -> None:
    assert abs(published(row).hub.reading.nominal - inches(row["hub_reading_in"])) <= HALF_THOU


@pytest.mark.parametrize("row", PUBLISHED, ids=row_name)
def test_the_table_s_key_for_the_shaft_is_the_published_one(row: dict[str, str]) -> None:
    shape = Shape.SQUARE if row["width_in"] == row["height_in"] else Shape.RECTANGULAR
    key = inch(row["shaft_in"], shape=shape).key

    assert (key.width, key.height) == (inches(row["width_in"]), inches(row["height_in"]))


def test_a_quarter_inch_key_in_a_shaft_of_seven_eighths() -> None:
    """Common practice, no source: arc 0.0182, keyseat floor 0.1432 below its top, 0.982 over shaft and key."""
    answer = inch("7/8", "1/4")

    assert abs(answer.arc - inches("0.0182")) <= inches("0.00005")
    assert abs(answer.shaft.depth - inches("0.1432")) <= inches("0.00005")
    assert abs(answer.over_key - inches("0.982")) <= HALF_THOU
    assert answer.remarks == (
        "key 1/4 x 1/4 in is not the table's for 7/8 in, which is 3/16 x 3/16 in; "
        "within 0.005 in of 7/8 in: 3/16 x 3/16 in up to it, 1/4 x 1/4 in over it",
    )


@given(shafts, st.sampled_from([Shape.SQUARE, Shape.RECTANGULAR, Shape.TAPER]))
def test_every_figure_is_exact_and_rounded_once(diameter: Length, shape: Shape) -> None:
    row = next(key for key in inch_keys() if diameter <= key.shaft_to)
    height = row.square_height if shape is Shape.SQUARE else row.rectangular_height
    answer = inch(diameter, shape=None if height is None else shape)
    far = d_less_y(diameter.nm, answer.key.width.nm)
    half = Decimal(answer.key.height.nm) / 2
    over = Decimal("-508000" if answer.key.shape is Shape.TAPER else "127000")

    assert answer.arc.nm == half_even(FIFTY.subtract(Decimal(diameter.nm), far))
    assert answer.shaft.reading.nominal.nm == half_even(FIFTY.subtract(far, half))
    assert answer.hub.reading.nominal.nm == half_even(FIFTY.add(far, half + over))
    assert answer.over_key.nm == half_even(FIFTY.add(far, half))
    assert answer.shaft.depth.nm == half_even(FIFTY.subtract(Decimal(diameter.nm) + half, far))
    assert answer.hub.depth.nm == half_even(half + over)


@given(shafts)
def test_limits_stand_round_the_nominal_as_published(diameter: Length) -> None:
    shaft, hub = (seat.reading for seat in (inch(diameter).shaft, inch(diameter).hub))

    assert (shaft.upper - shaft.nominal, shaft.lower - shaft.nominal) == (Length(0), inches("0.015") * -1)
    assert (hub.upper - hub.nominal, hub.lower - hub.nominal) == (inches("0.010"), Length(0))


@given(shafts)
def test_the_key_stands_clear_of_the_hub_by_the_clearance(diameter: Length) -> None:
    answer = inch(diameter)

    assert abs(answer.hub.reading.nominal - answer.over_key - inches("0.005")) <= Length(1)


def test_square_keys_are_the_default_up_to_6_1_2_inches() -> None:
    """Common practice, no source."""
    assert inch("6-1/2").key.shape is Shape.SQUARE
    assert inch("6.5001").key.shape is Shape.RECTANGULAR


@pytest.mark.parametrize(
    ("size", "shape", "height", "made"),
    [
        ("1/4", None, "1/4", Shape.SQUARE),
        ("1/4", Shape.RECTANGULAR, "3/16", Shape.RECTANGULAR),
        ("1/4", Shape.TAPER, "1/4", Shape.TAPER),
        ("0.260", None, "0.260", Shape.SQUARE),
        ("0.260x0.200", None, "0.200", Shape.RECTANGULAR),
        ("1/4x1/4", Shape.SQUARE, "1/4", Shape.SQUARE),
        ("1/4x3/16", Shape.TAPER, "3/16", Shape.TAPER),
    ],
)
def test_a_named_key_has_the_table_s_height_or_its_own(
    size: str, shape: Shape | None, height: str, made: Shape
) -> None:
    key = inch("1", size, shape).key

    assert (key.height, key.shape) == (inches(height), made)


def test_the_table_s_own_key_carries_no_remark_whatever_its_shape() -> None:
    assert inch("1", "1/4x3/16").remarks == ()
    assert inch("1", "1/4x1/4").remarks == ()


@pytest.mark.parametrize("diameter", ["1.245", "1.25", "1.255"])
def test_within_five_thou_of_a_boundary_both_keys_are_named(diameter: str) -> None:
    assert inch(diameter).remarks == (
        "within 0.005 in of 1-1/4 in: 1/4 x 1/4 in up to it, 5/16 x 5/16 in over it",
    )
    assert inch(diameter, shape=Shape.RECTANGULAR).remarks == (
        "within 0.005 in of 1-1/4 in: 1/4 x 3/16 in up to it, 5/16 x 1/4 in over it",
    )


@pytest.mark.parametrize("diameter", ["1.2449", "1.2551"])
def test_past_five_thou_from_a_boundary_nothing_is_said(diameter: str) -> None:
    assert inch(diameter).remarks == ()


def test_a_shaft_outside_the_table_takes_a_named_key_and_says_so() -> None:
    assert inch("0.3", "3/32").remarks == (
        "the inch table has no key for 0.3 in: it goes from over 5/16 in to 30 in",
    )


def test_a_taper_key_has_class_2_from_memory_and_says_so() -> None:
    named, default = inch("1", shape=Shape.TAPER, fit=Fit.CLASS_1), inch("1", shape=Shape.TAPER)

    assert named.fit is default.fit is Fit.CLASS_2
    assert named.status == default.status == "memory"
    assert named.remarks == ("class 1 has no taper keys: class 2 is used", *default.remarks)
    assert default.remarks == (
        "taper 1/8 in a foot: the hub's reading holds at the deep end",
        "from memory, not seen in print: width limits of class 2, depth limits of class 2",
    )


def test_class_1_is_the_default_and_read_in_print() -> None:
    assert (inch("1").fit, inch("1").status) == (Fit.CLASS_1, "read")
    assert inch("1", fit=Fit.CLASS_2).status == "memory"


@pytest.mark.parametrize(
    ("diameter", "size", "shape", "fit", "message"),
    [
        ("0.3", "", None, None, r"key: the inch table goes from over 5/16 in to 30 in, and this is 0\.3 in; name the key"),
        ("3/8", "", Shape.RECTANGULAR, None, "no rectangular key for 3/8 in; it has 3/32 x 3/32 in"),
        ("16", "", Shape.SQUARE, None, "no square key for 16 in; it has 4 x 3 in"),
        ("1", "0.26", Shape.RECTANGULAR, None, r"no rectangular key 0\.26 in wide; write width x height"),
        ("1", "1/4x3/16", Shape.SQUARE, None, "a key of 1/4 x 3/16 in is rectangular"),
        ("1", "1/4x1/4", Shape.RECTANGULAR, None, "a key of 1/4 x 1/4 in is square"),
        ("1", "", None, Fit.CLOSE, "fit: read close; the inch standard has class 1 or 2"),
        ("1/4", "1/4", None, None, r"keyway width 0\.25 in: it must be less than the bore or shaft, 0\.25 in"),
        ("1", "1/4x2", None, None, "key 1/4 x 2 in: too high for a shaft or bore of 1 in"),
        ("1", "1/32", Shape.TAPER, None, "key 1/32 x 1/32 in: too low for a taper key"),
        ("16", "4x4", None, None, "the inch standard has no depth limits for a square key"),
    ],
)  # fmt: skip
def test_what_the_standard_does_not_have_is_refused(
    diameter: str, size: str, shape: Shape | None, fit: Fit | None, message: str
) -> None:
    with pytest.raises(InputError, match=message):
        inch(diameter, size, shape, fit)


def test_no_top_clearance_is_not_an_inch_matter() -> None:
    with pytest.raises(InputError, match="only the metric standard has such keyways"):
        joint(Length.inches(1), standard=Standard.INCH, top_clearance=False)
