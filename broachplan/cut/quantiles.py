"""Exact quantiles of a sum of independent uniform terms, in whole numbers throughout."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import groupby
from math import comb, factorial, prod


def quantile(widths_nm: Iterable[int], numerator: int, denominator: int) -> int:
    """The smallest whole nm x at which the sum of the terms is x or less with probability numerator/denominator.

    Parameters
    ----------
    widths_nm : width of each term, which is uniform from 0 to its width; the order does not matter, a width of 0 is none.
    numerator, denominator : the probability, over 0 and at most 1.

    With widths w_1..w_n the distribution is F(x) = 1/(n! w_1 ... w_n) * sum over subsets S of (-1)^|S| max(0, x - w(S))^n,
    w(S) the sum of the widths in S: a corner of the box cut off by the plane of equal sums is a simplex of volume x^n/n!,
    and what of it lies outside the box is taken away by inclusion and exclusion. No float takes part.

    >>> quantile([1000], 1, 40), quantile([1000, 1000], 1, 2)
    (25, 1000)
    """
    if not 0 < numerator <= denominator:
        raise ValueError("a probability is over 0 and at most 1")
    widths = tuple(sorted(width for width in widths_nm if width))
    if not widths:
        return 0
    if 2 * numerator <= denominator:
        return _lower(widths, numerator, denominator)[0]
    if numerator == denominator:
        return sum(widths)
    # The sum is symmetric about its middle: F(x) = 1 - F(W - x). The mirror image of the smallest x with F(x) >= p is
    # the largest y with F(y) <= 1 - p.
    least, exact = _lower(widths, denominator - numerator, denominator)
    return sum(widths) - (least if exact else least - 1)


@lru_cache(maxsize=4096)
def _lower(widths: tuple[int, ...], numerator: int, denominator: int) -> tuple[int, bool]:
    """The quantile of a probability of at most 1/2, and whether the distribution meets it exactly there."""
    count, corners = len(widths), _corners(widths)
    whole = numerator * factorial(count) * prod(widths)
    low, high = 0, (sum(widths) + 1) // 2  # F is 0 at the one and at least 1/2 at the other
    while high - low > 1:
        middle = (low + high) // 2
        if denominator * _volume(corners, middle, count) < whole:
            low = middle
        else:
            high = middle
    return high, denominator * _volume(corners, high, count) == whole


def _volume(corners: Sequence[tuple[int, int]], x: int, count: int) -> int:
    """The volume of the box under the plane where the sum is ``x``, times count!."""
    total = 0
    for corner, sign in corners:
        if corner >= x:
            break
        total += sign * (x - corner) ** count
    return total


def _corners(widths: tuple[int, ...]) -> list[tuple[int, int]]:
    """The sums of all subsets of the widths in order, each with the sum of the signs of its subsets."""
    sums = {0: 1}
    for width, alike in groupby(widths):
        amount = len(list(alike))
        more: defaultdict[int, int] = defaultdict(int)
        for corner, sign in sums.items():
            for taken in range(amount + 1):
                more[corner + taken * width] += sign * (-1) ** taken * comb(amount, taken)
        sums = more
    return sorted((corner, sign) for corner, sign in sums.items() if sign)
