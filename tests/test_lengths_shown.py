"""Lengths shown, written to be read again, and added up."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.lengths import Length, Units, parse_length, show, write_exact
from broachplan.shown import show_apart
from tests.exact_lengths import INCH, MM, TEN_METRES, THOU, half_even

lengths = st.integers(1, TEN_METRES).map(Length)


@given(lengths)
def test_what_is_written_reads_back_as_the_same_length(length: Length) -> None:
    assert parse_length(write_exact(length)) == length


@given(st.integers(1, 393 * 10**6).map(lambda millionths: Length.inches(Fraction(millionths, 10**6))))
def test_millionths_of_an_inch_read_back_as_the_same_length(length: Length) -> None:
    assert parse_length(write_exact(length)) == length


@pytest.mark.parametrize(
    ("nm", "text"),
    [(INCH, "1 in"), (MM, "1 mm"), (254_000, "0.01 in"), (127 * MM, "5 in"), (1, "0.000001 mm"), (15_875_000, "0.625 in"),
     (396_875, "0.015625 in"), (-THOU, "-0.001 in"), (0, "0 in")],
)  # fmt: skip
def test_a_length_is_written_in_the_unit_that_takes_fewer_signs(nm: int, text: str) -> None:
    assert write_exact(Length(nm)) == text


@given(st.integers(-TEN_METRES, TEN_METRES))
def test_shown_decimals_are_the_nearest_with_ties_to_even(nm: int) -> None:
    shown_inch, shown_mm = show(Length(nm), Units.INCH), show(Length(nm), Units.MM)

    assert shown_inch.endswith(" in")
    assert shown_mm.endswith(" mm")
    assert Fraction(shown_inch[:-3]) == Fraction(half_even(Fraction(nm * 10_000, INCH)), 10_000)
    assert Fraction(shown_mm[:-3]) == Fraction(half_even(Fraction(nm, 1000)), 1000)
    assert len(shown_inch[:-3].split(".")[1]) == 4
    assert len(shown_mm[:-3].split(".")[1]) == 3


@pytest.mark.parametrize(
    ("nm", "inch", "mm"),
    [(1270, "0.0000 in", "0.001 mm"), (3810, "0.0002 in", "0.004 mm"), (500, "0.0000 in", "0.000 mm"),
     (1500, "0.0001 in", "0.002 mm"), (-1270, "0.0000 in", "-0.001 mm"), (15_875_000, "0.6250 in", "15.875 mm")],
)  # fmt: skip
def test_half_of_the_last_place_goes_to_the_even_figure(nm: int, inch: str, mm: str) -> None:
    assert (show(Length(nm), Units.INCH), show(Length(nm), Units.MM)) == (inch, mm)


@given(
    st.sampled_from(Units),
    st.lists(st.integers(-TEN_METRES, TEN_METRES) | st.integers(-500, 500), max_size=4),
)
def test_lengths_that_are_weighed_against_each_other_look_alike_only_where_they_are(
    units: Units, sizes: list[int]
) -> None:
    shown = show_apart(units, *map(Length, sizes))

    assert len(set(shown)) == len(set(sizes))
    assert {show(Length(0), units)} & set(shown) <= {
        text for text, nm in zip(shown, sizes, strict=True) if nm == 0
    }


@pytest.mark.parametrize(
    ("units", "sizes", "texts"),
    [(Units.INCH, (9 * INCH, 10 * INCH), ["9.0000 in", "10.0000 in"]),
     (Units.INCH, (9 * INCH, 9 * INCH - 1), ["9.00000000 in", "8.99999996 in"]),
     (Units.MM, (8 * MM, 8 * MM + 10, 1), ["8.000000 mm", "8.000010 mm", "0.000001 mm"]),
     (Units.FRACTION, (INCH // 4, INCH // 2), ["1/4 in", "1/2 in"])],
)  # fmt: skip
def test_as_many_decimals_are_shown_as_it_takes(
    units: Units, sizes: tuple[int, ...], texts: list[str]
) -> None:
    assert show_apart(units, *map(Length, sizes)) == texts


@given(st.integers(1, 64 * 300))
def test_sixty_fourths_are_shown_as_fractions_in_lowest_terms(sixty_fourths: int) -> None:
    length = Length(sixty_fourths * INCH // 64)

    shown = show(length, Units.FRACTION)

    assert parse_length(shown) == length
    fraction = shown[:-3].split("-")[-1]
    if "/" in fraction:
        over, under = map(int, fraction.split("/"))
        assert Fraction(over, under).denominator == under


@pytest.mark.parametrize(
    ("nm", "text"),
    [(31_750_000, "1-1/4 in"), (15_875_000, "5/8 in"), (2 * INCH, "2 in"), (396_875, "1/64 in"),
     (-31_750_000, "-1-1/4 in"), (396_876, "0.0156 in"), (0, "0 in"), (8 * MM, "0.3150 in")],
)  # fmt: skip
def test_what_is_no_sixty_fourth_is_shown_in_decimals(nm: int, text: str) -> None:
    assert show(Length(nm), Units.FRACTION) == text


# -- arithmetic ------------------------------------------------------------------------------------------------


@given(st.integers(), st.integers(), st.integers(-1000, 1000))
def test_lengths_add_and_compare_as_whole_nanometres(one: int, other: int, times: int) -> None:
    assert Length(one) + Length(other) == Length(one + other)
    assert Length(one) - Length(other) == Length(one - other)
    assert Length(one) * times == Length(one * times)
    assert -Length(one) == Length(-one)
    assert abs(Length(one)) == Length(abs(one))
    assert (Length(one) < Length(other)) == (one < other)
    assert bool(Length(one)) == (one != 0)


def test_ten_shims_of_a_tenth_make_exactly_one_millimetre() -> None:
    assert sum((Length.mm("0.1") for _ in range(10)), Length(0)) == Length.mm(1)
    assert Length.inches("0.1") * 3 == Length.inches("0.3")
