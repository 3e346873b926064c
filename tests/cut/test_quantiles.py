"""Quantiles of a sum of uniform terms, against closed forms, exact volumes and a convolution."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import comb, factorial, isqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.cut.quantiles import quantile

widths = st.lists(st.integers(1, 500_000), min_size=1, max_size=7)
some_parts = st.sampled_from([(1, 40), (39, 40), (1, 80), (79, 80), (1, 2), (1, 3)])


def volume_under(x: Fraction, sizes: list[int]) -> Fraction:
    """The part of a box that lies under the plane where the coordinates sum to x, one integral after another.

    Each step integrates a function that is a polynomial from knot to knot over a window of one width; the pieces are
    kept as polynomials with exact coefficients. No inclusion and exclusion.
    """
    pieces: list[tuple[Fraction, Fraction, list[Fraction]]] = [
        (Fraction(0), Fraction(sizes[0]), [Fraction(1, sizes[0])])
    ]
    for size in sizes[1:]:
        pieces = _over_a_window(pieces, Fraction(size))
    return sum((_integral(poly, low, min(high, x)) for low, high, poly in pieces if low < x), Fraction(0))


def _over_a_window(
    pieces: list[tuple[Fraction, Fraction, list[Fraction]]], size: Fraction
) -> list[tuple[Fraction, Fraction, list[Fraction]]]:
    ends = {end for low, high, _ in pieces for end in (low, high)}
    knots = sorted(ends | {end + size for end in ends})
    found = []
    for low, high in pairwise(knots):
        # The density is polynomial between knots: as many of its values as it has coefficients determine it.
        degree = len(pieces[0][2])
        at = [low + (high - low) * Fraction(i, degree) for i in range(degree + 1)]
        values = [
            sum((_integral(p, max(a, x - size), min(b, x)) for a, b, p in pieces), Fraction(0)) / size
            for x in at
        ]
        found.append((low, high, _through(at, values)))
    return found


def _integral(poly: list[Fraction], low: Fraction, high: Fraction) -> Fraction:
    if high <= low:
        return Fraction(0)
    return sum((c * (high ** (k + 1) - low ** (k + 1)) / (k + 1) for k, c in enumerate(poly)), Fraction(0))


def _through(at: list[Fraction], values: list[Fraction]) -> list[Fraction]:
    """The polynomial through the points (Lagrange), lowest power first."""
    total = [Fraction(0)] * len(at)
    for i, value in enumerate(values):
        basis, scale = [Fraction(1)], Fraction(1)
        for j, other in enumerate(at):
            if j != i:
                basis = [
                    a - other * b for a, b in zip([Fraction(0), *basis], [*basis, Fraction(0)], strict=True)
                ]
                scale *= at[i] - other
        total = [a + value / scale * b for a, b in zip(total, basis, strict=True)]
    return total


@pytest.mark.parametrize(
    "sizes", [[7], [3, 10], [10, 10, 4], [1, 2, 3, 4], [5, 5, 5, 2], [100, 1, 1], [9, 7, 7, 3, 1]]
)
@pytest.mark.parametrize("parts", [(1, 40), (39, 40), (1, 80), (79, 80), (1, 2)])
def test_a_quantile_is_the_first_whole_number_with_that_much_of_the_box_under_it(
    sizes: list[int], parts: tuple[int, int]
) -> None:
    wanted = Fraction(*parts)
    larger = [1000 * size for size in sizes]

    found = quantile(larger, *parts)

    assert volume_under(Fraction(found, 1000), sizes) >= wanted
    assert volume_under(Fraction(found - 1, 1000), sizes) < wanted


def test_one_term_has_the_quantiles_of_a_uniform_one() -> None:
    # A micrometer's 5 um either way: 2.5 in 100 of 10 000 nm.
    assert [quantile([10_000], n, 40) for n in (1, 39, 40)] == [250, 9_750, 10_000]
    assert quantile([3], 1, 2) == 2  # 1.5, up to the next whole nanometre


def test_two_like_terms_have_the_quantiles_of_a_triangle() -> None:
    # F(x) = x^2 / (2 w^2) up to the middle (Simpson's distribution): x = w sqrt(2 p).
    for w in (1000, 12_345, 999_999):
        x = isqrt(2 * w * w // 40)
        x += 40 * x * x < 2 * w * w
        assert quantile([w, w], 1, 40) == x
        # The mirror image: 1 - F(x) = (2w - x)^2 / (2 w^2) <= 1/40.
        y = isqrt(2 * w * w // 40)
        assert quantile([w, w], 39, 40) == 2 * w - y


@pytest.mark.parametrize("count", [3, 5, 8, 12, 19])
def test_like_terms_follow_the_irwin_hall_distribution(count: int) -> None:
    # F(x) = 1/n! sum_k (-1)^k C(n, k) (x - k)^n, k up to floor(x); Irwin 1927, Hall 1927. Tables of the standard normal
    # distribution put the quantile near n/2 - 1.96 sqrt(n/12) for many terms.
    def irwin_hall(x: Fraction) -> Fraction:
        terms = ((-1) ** k * comb(count, k) * (x - k) ** count for k in range(int(x) + 1))
        return sum(terms, Fraction(0)) / factorial(count)

    unit = 10_000
    found = quantile([unit] * count, 1, 40)

    assert irwin_hall(Fraction(found - 1, unit)) < Fraction(1, 40) <= irwin_hall(Fraction(found, unit))
    if count >= 12:
        assert found / unit == pytest.approx(count / 2 - 1.96 * (count / 12) ** 0.5, abs=0.02)


def test_many_unlike_terms_against_a_convolution_on_a_grid_of_whole_numbers() -> None:
    # On a grid of 250 nm each uniform of width w is spread over w/250 cells; what the grid adds to the spread is
    # known: the sum of n cells of 250 nm is within n cells. One large term among small ones, as with a nominal web.
    sizes = [100_000, 10_000, 10_000, 14_000, 40_000, 5_000, 5_000, 5_000]
    step = 250
    ways = [1]
    for size in sizes:
        cells = size // step
        running, more = 0, []
        for i in range(len(ways) + cells - 1):
            running += (ways[i] if i < len(ways) else 0) - (ways[i - cells] if i >= cells else 0)
            more.append(running)
        ways = more

    # Each cell's lower and upper ends bracket the true sum.
    def bracket(numerator: int, denominator: int) -> tuple[int, int]:
        under, total = 0, sum(ways)
        for cell, amount in enumerate(ways):
            under += amount
            if under * denominator >= numerator * total:
                return cell * step, (cell + len(sizes)) * step
        raise AssertionError("the ways do not add up")

    for parts in ((1, 40), (39, 40), (1, 80), (79, 80)):
        low, high = bracket(*parts)
        assert low <= quantile(sizes, *parts) <= high


@given(widths, some_parts, st.randoms(use_true_random=False))
def test_the_order_of_the_terms_and_terms_of_no_width_do_not_matter(sizes, parts, shuffler) -> None:  # type: ignore[no-untyped-def]
    other = [*sizes, 0, 0]
    shuffler.shuffle(other)

    assert quantile(other, *parts) == quantile(sizes, *parts)


@given(widths, some_parts, st.integers(2, 50))
def test_terms_that_are_so_many_times_as_wide_have_quantiles_so_many_times_as_large(
    sizes: list[int], parts: tuple[int, int], times: int
) -> None:
    once, more = quantile(sizes, *parts), quantile([size * times for size in sizes], *parts)

    assert (once - 1) * times < more <= once * times


@given(widths, some_parts, st.integers(0, 6), st.integers(1, 100_000))
def test_a_wider_term_never_lowers_a_quantile_counted_from_the_least(
    sizes: list[int], parts: tuple[int, int], place: int, wider: int
) -> None:
    place %= len(sizes)
    more = [size + wider * (i == place) for i, size in enumerate(sizes)]

    assert quantile(more, *parts) >= quantile(sizes, *parts)


@given(widths)
def test_more_lies_under_a_larger_quantile_and_the_sum_has_a_middle(sizes: list[int]) -> None:
    total = sum(sizes)
    found = [quantile(sizes, n, 80) for n in (1, 2, 40, 78, 79, 80)]

    assert found == sorted(found)
    assert 2 * found[2] in (total, total + 1)
    # Symmetric: as far from the top as from the bottom, to the whole number above.
    assert 0 <= found[3] - (total - found[1]) <= 1
    assert found[5] == total


def test_nothing_uncertain_has_no_spread() -> None:
    assert quantile([], 1, 40) == quantile([0, 0], 39, 40) == 0


@pytest.mark.parametrize(("numerator", "denominator"), [(0, 40), (-1, 40), (41, 40)])
def test_what_is_no_probability_is_refused(numerator: int, denominator: int) -> None:
    with pytest.raises(ValueError, match="a probability is over 0 and at most 1"):
        quantile([10], numerator, denominator)
