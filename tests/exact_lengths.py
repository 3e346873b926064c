"""What the tests of lengths share: the factors, rounding written out, and what a refusal must be like."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from fractions import Fraction
from time import perf_counter

import pytest

from broachplan.errors import InputError

# The international inch of 1959 is exactly 25.4 mm; the rest are SI prefixes. Nanometres in each.
INCH, THOU, MM, CM, M = 25_400_000, 25_400, 10**6, 10**7, 10**9
TEN_METRES = 10_000_000_000


def half_even(value: Fraction) -> int:
    """The nearest whole number, a tie to the even one, by comparing remainders."""
    whole, rest = divmod(value.numerator, value.denominator)
    twice = 2 * rest - value.denominator
    return whole + (twice > 0 or (twice == 0 and whole % 2 == 1))


@contextmanager
def refused(says: str) -> Iterator[None]:
    """Refused within a second, in one line that holds ``says``."""
    start = perf_counter()
    with pytest.raises(InputError, match=says) as raised:
        yield
    assert perf_counter() - start < 1
    assert str(raised.value).isprintable()
    assert len(str(raised.value)) < 250
