"""Offset and lead of inch keyseats, as ASME B17.1 gives them."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.lengths import Length
from broachplan.standards.keyseat_position import lead_row, position_rows

lengths = st.integers(1, 5_000_000_000).map(Length)


@pytest.mark.parametrize(
    ("length", "most"),
    [("1/2", "0.002"), ("4", "0.002"), ("6", "0.003"), ("10", "0.005"), ("10.01", "0.005"), ("40", "0.005")],
)
def test_the_lead_is_the_published_one(length: str, most: str) -> None:
    """ASME B17.1-1967 (R2013): 0.002 in to 4 in, 0.0005 in an inch to 10 in, 0.005 in over."""
    keyseat = Length.inches(length)

    assert lead_row(keyseat).at(keyseat) == Length.inches(most)


@given(lengths, lengths)
def test_a_longer_keyseat_may_lean_as_much_or_more(one: Length, other: Length) -> None:
    short, long = sorted((one, other))

    assert lead_row(short).at(short) <= lead_row(long).at(long)


def test_the_offset_is_one_figure_for_every_keyseat() -> None:
    (offset,) = position_rows("offset")

    assert offset.at(Length.inches(1)) == offset.at(Length.inches(30)) == Length.inches("0.010")


def test_ranges_of_the_lead_meet_without_gap_and_all_were_read() -> None:
    rows = position_rows("lead")

    assert rows[0].over == Length(0)
    assert rows[-1].to is None
    assert all(below.to == above.over for below, above in pairwise(rows))
    assert {row.status for row in (*rows, *position_rows("offset"))} == {"read"}
