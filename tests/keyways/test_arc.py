"""The arc over a chord, exact: checked in decimals of fifty digits, ties included."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.errors import InputError
from broachplan.keyways.keyway import arc_height, chord_square, half_root, nearest_half
from broachplan.lengths import Length
from tests.keyways.exact import FIFTY, d_less_y, floor, half_even, root

MOST = 10_000_000_000
diameters = st.integers(2, MOST)


def exact_half(whole: int, square: int) -> Decimal:
    return FIFTY.divide(FIFTY.add(Decimal(whole), root(square)), Decimal(2))


@given(diameters, st.data())
def test_half_root_is_the_exact_value_rounded_down_and_to_the_nearest(
    diameter: int, data: st.DataObject
) -> None:
    width = data.draw(st.integers(1, diameter - 1))
    exact = d_less_y(diameter, width)

    assert half_root(Length(diameter), Length(width)) == (floor(exact), half_even(exact))


@given(st.integers(1, 60_000), st.integers(0, 30_000))
def test_ties_of_odd_diameters_go_to_the_even_nanometre(n: int, pairs: int) -> None:
    """D = m^2 + n^2, W = m^2 - n^2 and the root 2mn make D + root odd where one of m and n is odd."""
    m = n + 2 * pairs + 1
    diameter, width = m * m + n * n, m * m - n * n
    low, nearest = half_root(Length(diameter), Length(width))

    assert (diameter + 2 * m * n) % 2 == 1
    assert low == (diameter + 2 * m * n) // 2
    assert nearest % 2 == 0
    assert nearest in (low, low + 1)


@given(st.integers(-MOST, MOST), st.integers(0, MOST**2))
def test_nearest_half_is_exact_for_either_sign(whole: int, square: int) -> None:
    assert nearest_half(whole, square) == half_even(exact_half(whole, square))


@given(st.integers(-MOST, MOST), st.integers(0, MOST))
def test_nearest_half_of_a_whole_root_is_python_s_own_rounding(whole: int, side: int) -> None:
    low, odd = divmod(whole + side, 2)

    assert nearest_half(whole, side * side) == (low + (low & 1) if odd else low)


@given(diameters, st.data())
def test_the_arc_is_rounded_once(diameter: int, data: st.DataObject) -> None:
    width = data.draw(st.integers(1, diameter - 1))
    exact = FIFTY.subtract(Decimal(diameter), d_less_y(diameter, width))

    assert arc_height(Length(diameter), Length(width)).nm == half_even(exact)


def test_a_wider_key_has_a_higher_arc() -> None:
    arcs = [arc_height(Length.inches(1), Length.inches(f"{width}/16")) for width in range(1, 16)]

    assert arcs == sorted(set(arcs))


@pytest.mark.parametrize("width", ["1", "1.0001"])
def test_a_keyway_as_wide_as_its_bore_is_refused(width: str) -> None:
    with pytest.raises(
        InputError, match=r"keyway width 1\S* in: it must be less than the bore or shaft, 1 in"
    ):
        chord_square(Length.inches(1), Length.inches(width))
