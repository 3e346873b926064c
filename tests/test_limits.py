"""Limits as people write them: nominal, then deviations in the same unit."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from broachplan.errors import InputError
from broachplan.lengths import Length, Limits, System, read_limits
from tests.exact_lengths import INCH, MM, TEN_METRES, THOU, half_even, refused


@pytest.mark.parametrize(
    ("text", "nominal", "lower", "upper"),
    [
        ("1 in +0.001 -0.000", INCH, INCH, INCH + THOU),
        ("1 in -0.000 +0.001", INCH, INCH, INCH + THOU),
        ("1 in +0.001/-0.000", INCH, INCH, INCH + THOU),
        ("1 in +0.001 / -0", INCH, INCH, INCH + THOU),
        ("1 in +0.001 in -0.002 in", INCH, INCH - 2 * THOU, INCH + THOU),
        ('1" +1/64 -1/32', INCH, INCH - INCH // 32, INCH + INCH // 64),
        ("8 mm +0.018 -0.018", 8 * MM, 8 * MM - 18_000, 8 * MM + 18_000),
        ("8 mm ±0.018", 8 * MM, 8 * MM - 18_000, 8 * MM + 18_000),
        ("8 mm +/-0.018", 8 * MM, 8 * MM - 18_000, 8 * MM + 18_000),
        ("8 mm +- 0,018 mm", 8 * MM, 8 * MM - 18_000, 8 * MM + 18_000),
        ("25 mm +0.021 0", 25 * MM, 25 * MM, 25 * MM + 21_000),
        ("25 mm 0 +0.021", 25 * MM, 25 * MM, 25 * MM + 21_000),
        ("25mm+0.021-0", 25 * MM, 25 * MM, 25 * MM + 21_000),
        ("8 mm -0.015 -0.051", 8 * MM, 8 * MM - 51_000, 8 * MM - 15_000),
        ("8 mm +0.098 +0.040", 8 * MM, 8 * MM + 40_000, 8 * MM + 98_000),
        ("8 mm \u22120.015 \u22120.051", 8 * MM, 8 * MM - 51_000, 8 * MM - 15_000),
        ("625 thou +1 -0", 625 * THOU, 625 * THOU, 626 * THOU),
        ("2.5 cm +0.01 -0", 25 * MM, 25 * MM, 25 * MM + 100_000),
    ],
)
def test_deviations_are_in_the_unit_of_the_size(text: str, nominal: int, lower: int, upper: int) -> None:
    written = read_limits(text)

    assert written.limits == Limits(Length(nominal), Length(lower), Length(upper))
    assert written.toleranced


@given(
    st.integers(1000, 99_999),
    st.integers(-9999, 9999),
    st.integers(-9999, 9999),
    st.sampled_from([("in", INCH, System.INCH), ("mm", MM, System.METRIC)]),
)
def test_limits_lie_by_their_deviations_from_the_nominal(
    size: int, one: int, other: int, unit: tuple[str, int, System]
) -> None:
    word, factor, system = unit
    text = f"{Fraction(size, 1000)} {word}" if size % 7 == 0 else f"{size // 1000}.{size % 1000:03d} {word}"
    deviations = " ".join(f"{'-' if d < 0 else '+'}0.{abs(d):04d}" for d in (one, other))
    nominal = Fraction(size, 1000) * factor
    low, high = (half_even(Fraction(d, 10_000) * factor) for d in sorted((one, other)))
    assume(half_even(nominal) + low > 0)

    limits, read_system, toleranced = read_limits(f"{text} {deviations}")

    assert limits == Limits(*(Length(half_even(nominal) + d) for d in (0, low, high)))
    assert (read_system, toleranced) == (system, True)
    assert limits.spread == Length(high - low)


def test_a_size_alone_has_limits_of_no_width_and_is_marked() -> None:
    limits, system, toleranced = read_limits("1-1/4 in")

    assert limits == Limits.exactly(Length(31_750_000))
    assert limits.spread == Length(0)
    assert (system, toleranced) == (System.INCH, False)
    assert read_limits("1-1/4 in +0 -0").toleranced


@pytest.mark.parametrize(
    "text",
    [
        "1 in +0.001", "1 in 0.001", "1 in 0.001 -0.001", "1 in +0.001 -0.001 +0", "1 in ±0.001 -0", "1 in ±",
        "1 in +0.001 mm -0.001 mm", "1 in +-", "1 in 0", "1 in 0 1/64 -1/64", "1 in 0-1/64 -1/64", "1 in to 2 in",
        "1 in - 2 in", "1 in +1e-3 -0", "1 in +0.001 - 0.001x", "1 in H7", "1 in +.001 -.001;",
    ],
)  # fmt: skip
def test_deviations_that_are_not_both_there_are_refused(text: str) -> None:
    with refused("after the size write both deviations in its unit, for example 1 in \\+0.001 -0.000"):
        read_limits(text)


def test_a_deviation_with_an_ambiguous_comma_is_refused_too() -> None:
    with refused("could be 1.000 or 1000"):
        read_limits("25 mm +1,000 -0")


def test_a_lower_limit_must_be_above_zero_and_an_upper_one_within_ten_metres() -> None:
    assert read_limits("1 mm +0 -0.999999").limits.lower == Length(1)
    assert read_limits("9 m +1 -0").limits.upper == Length(TEN_METRES)
    with refused("the lower limit must be above zero"):
        read_limits("1 mm +0 -1")
    with refused("the upper limit must not be over 10 m"):
        read_limits("9 m +1.000000001 -0")


def test_limits_may_be_written_in_eighty_characters_and_no_more() -> None:
    text = "1 in +0.001 -" + "0" * 67
    assert len(text) == 80
    assert read_limits(text).limits.upper == Length(INCH + THOU)
    with refused("at most 80 characters"):
        read_limits(text + "0")


def test_limits_hold_their_ends_and_nothing_a_nanometre_beyond() -> None:
    limits = Limits(Length(5), Length(10), Length(20))

    assert [nm for nm in range(8, 23) if Length(nm) in limits] == list(range(10, 21))


def test_limits_the_wrong_way_round_are_refused() -> None:
    with pytest.raises(InputError, match="the lower limit must not be above the upper limit"):
        Limits(Length(15), Length(20), Length(10))
