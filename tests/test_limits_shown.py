"""Limits as they are shown: a reading typed as a shown limit is within, to whatever unit and however narrow."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.lengths import Length, Limits, Units, parse_length, show
from broachplan.shown import AtLeast, AtMost, between_in_words, limits_in_words, show_apart
from tests.exact_lengths import INCH, MM

PER = {
    Units.INCH: Fraction(INCH, 10_000),
    Units.FRACTION: Fraction(INCH, 10_000),
    Units.MM: Fraction(MM, 1000),
}
sizes = st.integers(1000, 10 * INCH)
widths = st.one_of(st.integers(0, 20), st.integers(0, 5000), st.integers(0, INCH))


def ends(text: str) -> tuple[Length, Length]:
    """Both limits as a person would type them after reading them."""
    both, unit = text.rsplit(" ", 1)
    lower, _, upper = both.partition(" to ")
    return parse_length(f"{lower} {unit}"), parse_length(f"{upper or lower} {unit}")


@given(st.sampled_from(Units), sizes, widths)
def test_a_reading_typed_as_a_shown_limit_is_within(units: Units, lower: int, width: int) -> None:
    limits = Limits(Length(lower), Length(lower), Length(lower + width))

    least, most = ends(limits_in_words(limits, units))

    assert least in limits
    assert most in limits
    assert least <= most
    # Nor is more given away than one of the usual last place, at either end.
    assert least - limits.lower < Length(int(PER[units]) + 1)
    assert limits.upper - most < Length(int(PER[units]) + 1)


@given(st.sampled_from(Units), sizes, st.integers(1, 3000), st.integers(1, 3000))
def test_a_size_outside_its_limits_is_shown_outside_them(
    units: Units, lower: int, under: int, width: int
) -> None:
    outside, least, most = show_apart(
        units, Length(max(lower - under, 1)), AtLeast(Length(lower)), AtMost(Length(lower + width))
    )

    assert parse_length(outside) < parse_length(least) <= parse_length(most)
    assert parse_length(least) >= Length(lower)
    assert parse_length(most) <= Length(lower + width)


@pytest.mark.parametrize(
    ("lower", "upper", "units", "text"),
    [
        # JS9 of ISO 286 for a keyway of 12 mm is 43 micrometres wide, half of it to each side.
        ("11.9785 mm", "12.0215 mm", Units.MM, "11.9785 to 12.0215 mm"),
        ("9.982 mm", "10.018 mm", Units.MM, "9.982 to 10.018 mm"),
        ("0.24905 in", "0.2510 in", Units.INCH, "0.24905 to 0.2510 in"),
        ("1.114123 in", "1.124123 in", Units.INCH, "1.1142 to 1.1241 in"),
        ("1.114123 in", "1.114145 in", Units.INCH, "1.11413 to 1.114145 in"),
        ("1/4 in", "17/64 in", Units.FRACTION, "1/4 to 17/64 in"),
        ("0.25001 in", "17/64 in", Units.FRACTION, "0.25001 to 17/64 in"),
        ("25 mm", "25 mm", Units.MM, "25.000 mm"),
        ("25 mm", "25 mm", Units.INCH, "0.98425197 in"),
    ],
)  # fmt: skip
def test_limits_are_rounded_inward_or_shown_to_their_last_digit(
    lower: str, upper: str, units: Units, text: str
) -> None:
    assert between_in_words(parse_length(lower), parse_length(upper), units) == text


def test_a_limit_is_not_shown_as_zero_unless_it_is() -> None:
    tight = Limits(Length(0), Length(-100), Length(100_000))

    assert limits_in_words(tight, Units.MM) == "-0.0001 to 0.100 mm"
    assert limits_in_words(Limits(Length(0), Length(0), Length(25_400)), Units.INCH) == "0.0000 to 0.0010 in"
    assert show(Length(0), Units.INCH) == "0.0000 in"
