"""Inch keys against ANSI/ASME B17.1-1967 (R2013) as reproduced in Machinery's Handbook."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.lengths import Length
from broachplan.standards.inch_keys import (
    inch_key_by_width,
    inch_key_for_shaft,
    inch_keys,
    keyseat_depth,
    keyseat_width,
    stock_limits,
)

# Resulting fits of class 1 on the sides (same publication): shape, key widths over and to, most clearance.
CLASS_1_SIDES = [
    ("square", "0", "1/2", "0.004"),
    ("square", "1/2", "3/4", "0.005"),
    ("square", "3/4", "1", "0.006"),
    ("square", "1", "3/2", "0.007"),
    ("square", "3/2", "5/2", "0.008"),
    ("square", "5/2", "7/2", "0.010"),
    ("rectangular", "0", "1/2", "0.005"),
    ("rectangular", "1/2", "3/4", "0.006"),
    ("rectangular", "3/4", "1", "0.007"),
    ("rectangular", "1", "3/2", "0.008"),
    ("rectangular", "3/2", "3", "0.009"),
    ("rectangular", "3", "4", "0.010"),
    ("rectangular", "4", "6", "0.012"),
]
spans = st.integers(inch_keys()[0].shaft_over.nm + 1, inch_keys()[-1].shaft_to.nm).map(Length)


def inches(text: str) -> Length:
    return Length.inches(Fraction(text))


def test_shafts_stand_in_order_and_meet_without_gap() -> None:
    table = inch_keys()

    assert (table[0].shaft_over, table[-1].shaft_to) == (inches("5/16"), inches("30"))
    assert all(below.shaft_to == above.shaft_over for below, above in pairwise(table))


def test_a_larger_shaft_has_a_wider_key() -> None:
    widths = [key.width for key in inch_keys()]

    assert widths == sorted(set(widths))


@given(spans)
def test_every_shaft_of_the_table_has_exactly_one_key(shaft: Length) -> None:
    holding = [key for key in inch_keys() if key.shaft_over < shaft <= key.shaft_to]

    assert holding == [inch_key_for_shaft(shaft)]


@pytest.mark.parametrize("shaft", ["5/16", "30.0001", "1/8"])
def test_a_shaft_outside_the_table_has_no_key(shaft: str) -> None:
    assert inch_key_for_shaft(inches(shaft)) is None


@pytest.mark.parametrize(
    ("shaft", "width", "square", "rectangular"),
    [("7/16", "3/32", "3/32", None), ("7/8", "3/16", "3/16", "1/8"), ("1", "1/4", "1/4", "3/16"),
     ("5/2", "5/8", "5/8", "7/16"), ("7", "7/4", "7/4", "3/2"), ("16", "4", None, "3")],
)  # fmt: skip
def test_the_key_of_a_shaft_is_the_published_one(
    shaft: str, width: str, square: str | None, rectangular: str | None
) -> None:
    key = inch_key_for_shaft(inches(shaft))

    assert key is not None
    assert key.width == inches(width)
    assert key.square_height == (inches(square) if square else None)
    assert key.rectangular_height == (inches(rectangular) if rectangular else None)


def test_square_keys_are_preferred_up_to_shafts_of_6_1_2_inches() -> None:
    """Common practice, no source."""
    for key in inch_keys():
        assert (key.preferred == "square") == (key.shaft_to <= inches("13/2"))


def test_the_preferred_shape_is_one_that_the_row_has() -> None:
    for key in inch_keys():
        assert (key.square_height if key.preferred == "square" else key.rectangular_height) is not None


def test_a_square_key_is_as_high_as_wide_and_a_rectangular_one_lower() -> None:
    for key in inch_keys():
        assert key.square_height in (None, key.width)
        assert key.rectangular_height is None or key.rectangular_height < key.width


def test_every_width_of_the_table_is_found() -> None:
    assert all(inch_key_by_width(key.width) == key for key in inch_keys())
    assert inch_key_by_width(inches("0.251")) is None


@pytest.mark.parametrize(("shape", "over", "to", "most"), CLASS_1_SIDES)
def test_bar_stock_in_a_class_1_keyseat_gives_the_published_clearance(
    shape: str, over: str, to: str, most: str
) -> None:
    for width in (inches(over) + Length(1), inches(to)):
        seat, stock = keyseat_width("1", shape, width), stock_limits("bar stock", shape, "width", width)
        assert seat is not None
        assert stock is not None
        assert seat.lower - stock.upper == Length(0)
        assert seat.upper - stock.lower == inches(most)


@pytest.mark.parametrize("shape", ["square", "rectangular"])
def test_depths_of_class_1_have_the_published_limits(shape: str) -> None:
    shaft, hub = (keyseat_depth(seat, "1", shape, inches("1/4")) for seat in ("shaft", "hub"))

    assert shaft is not None
    assert hub is not None
    assert (shaft.lower, shaft.upper) == (inches("-0.015"), Length(0))
    assert (hub.lower, hub.upper) == (Length(0), inches("0.010"))


def test_class_2_is_marked_as_from_memory() -> None:
    for shape in ("square", "rectangular", "taper"):
        for zone in (keyseat_width("2", shape, inches("1")), keyseat_depth("hub", "2", shape, inches("1"))):
            assert zone is not None
            assert zone.status == "memory"


def test_taper_keys_have_no_class_1() -> None:
    assert keyseat_width("1", "taper", inches("1/4")) is None
