"""The whole fit against the published fits of class 1, and what holds for every joint."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.keyways.joint import Clearance, Joint
from broachplan.keyways.key import KeySize
from broachplan.keyways.parallel import joint
from broachplan.lengths import Length, Limits
from broachplan.standards.inch_keys import inch_keys
from broachplan.standards.named import Fit, Shape, Standard
from tests.keyways.published import published_rows

PUBLISHED = published_rows("asme_b17_1_fit_ranges.csv")
every_row = pytest.mark.parametrize("row", PUBLISHED, ids=lambda row: f"{row['shape']}-{row['to_in']}")


def inches(text: str) -> Length:
    return Length.inches(sum((Fraction(part) for part in text.split("-")), Fraction(0)))


def joints(row: dict[str, str]) -> list[Joint]:
    """Joints at both ends of a row's widths, in a shaft four times as large."""
    found = []
    for width in (inches(row["over_in"]) + Length.inches("1/64"), inches(row["to_in"])):
        height = width if row["shape"] == "square" else Length(round(Fraction(width.nm * 3, 4)))
        key = KeySize(width, height)
        found.append(joint(width * 4, standard=Standard.INCH, key=key, fit=Fit.CLASS_1))
    return found


def ends(limits: Limits) -> tuple[Length, Length]:
    return limits.lower, limits.upper


def test_the_published_fits_are_13_rows_and_name_their_source() -> None:
    assert len(PUBLISHED) == 13
    assert all("B17.1-1967 (R2013) class 1 fits" in row["source"] for row in PUBLISHED)


@every_row
def test_class_1_with_bar_stock_has_the_published_clearances(row: dict[str, str]) -> None:
    """Within 1 nm: the readings are rounded once each."""
    for answer in joints(row):
        fit = answer.clearances[0]

        assert fit.stock.name == "bar stock"
        assert (
            ends(fit.shaft_side)
            == ends(fit.hub_side)
            == (inches(row["side_min_in"]), inches(row["side_max_in"]))
        )
        assert abs(fit.top.lower - inches(row["top_min_in"])) <= Length(2)
        assert abs(fit.top.upper - inches(row["top_max_in"])) <= Length(2)


def test_class_1_shows_key_stock_too_and_that_it_may_be_tight() -> None:
    """ASME B17.1: key stock +0.001 in for keys to 1-1/4 in wide."""
    bar, key = joint(inches("1"), standard=Standard.INCH).clearances

    assert (bar.stock.name, key.stock.name) == ("bar stock", "key stock")
    assert ends(key.shaft_side) == (inches("0.001") * -1, inches("0.002"))


@pytest.mark.parametrize(("shape", "made"), [(None, "key stock"), (Shape.TAPER, "taper key")])
def test_class_2_and_taper_keys_have_one_stock(shape: Shape | None, made: str) -> None:
    answer = joint(inches("1"), standard=Standard.INCH, shape=shape, fit=Fit.CLASS_2)

    assert [fit.stock.name for fit in answer.clearances] == [made]


def test_the_stock_of_a_joint_is_the_one_the_fit_is_meant_for() -> None:
    answer = joint(inches("1"), standard=Standard.INCH)

    assert answer.stock == (answer.clearances[0].stock.width, answer.clearances[0].stock.height)


def extremes(answer: Joint, fit: Clearance) -> dict[str, tuple[int, int]]:
    """Least and most of each clearance over all corners of the limits."""

    def over(signed: list[tuple[int, Limits]]) -> tuple[int, int]:
        sums = {0}
        for sign, limits in signed:
            sums = {total + sign * end.nm for total in sums for end in ends(limits)}
        return min(sums), max(sums)

    return {
        "shaft": over([(1, answer.shaft.width), (-1, fit.stock.width)]),
        "hub": over([(1, answer.hub.width), (-1, fit.stock.width)]),
        "top": over([(1, answer.hub.reading), (-1, answer.shaft.reading), (-1, fit.stock.height)]),
        "over": over([(1, answer.shaft.reading), (1, fit.stock.height)]),
    }  # fmt: skip


@given(st.data())
def test_clearances_reach_from_corner_to_corner_of_the_limits(data: st.DataObject) -> None:
    standard = data.draw(st.sampled_from([Standard.INCH, Standard.METRIC, Standard.WOODRUFF_METRIC]))
    most = {
        Standard.INCH: inch_keys()[-1].shaft_to.nm,
        Standard.METRIC: 500_000_000,
        Standard.WOODRUFF_METRIC: 38_000_000,
    }
    answer = joint(Length(data.draw(st.integers(8_000_000, most[standard]))), standard=standard)

    for fit in answer.clearances:
        found = extremes(answer, fit)
        for name, limits in (("shaft", fit.shaft_side), ("hub", fit.hub_side), ("top", fit.top)):
            assert (limits.lower.nm, limits.upper.nm) == found[name]
    if answer.clearances:
        assert answer.over_key_limits is not None
        assert (
            tuple(end.nm for end in ends(answer.over_key_limits))
            == extremes(answer, answer.clearances[0])["over"]
        )


def test_a_metric_key_in_a_normal_fit() -> None:
    """ISO 286: key 8 h9 x 7 h11 in N9 and JS9; ISO 773: t1 4, t2 3.3, each +0.2."""
    (fit,) = joint(Length.mm(25), standard=Standard.METRIC).clearances

    assert ends(fit.shaft_side) == (Length.mm("-0.036"), Length.mm("0.036"))
    assert ends(fit.hub_side) == (Length.mm("-0.018"), Length.mm("0.054"))
    assert ends(fit.top) == (Length.mm("0.3"), Length.mm("0.79"))


def test_offset_and_lead_are_given_for_inch_keys_only() -> None:
    """ASME B17.1: 0.010 in off, 0.0005 in an inch over 4 in."""
    short = joint(inches("1"), standard=Standard.INCH).position
    long = joint(inches("1"), standard=Standard.INCH, length=inches("6")).position

    assert short is not None
    assert long is not None
    assert (short.offset, short.lead) == (inches("0.010"), None)
    assert (long.length, long.lead) == (inches("6"), inches("0.003"))
    assert joint(Length.mm(25), standard=Standard.METRIC, length=Length.mm(40)).position is None
