"""The order of the metric table; its figures are held in tests/keyways."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.lengths import Length
from broachplan.standards.metric_keys import metric_key_by_width, metric_key_for_shaft, metric_keys

spans = st.integers(metric_keys()[0].shaft_over.nm + 1, metric_keys()[-1].shaft_to.nm).map(Length)


def test_shafts_stand_in_order_and_meet_without_gap() -> None:
    table = metric_keys()

    assert (table[0].shaft_over, table[-1].shaft_to) == (Length.mm(6), Length.mm(500))
    assert all(below.shaft_to == above.shaft_over for below, above in pairwise(table))


def test_a_larger_shaft_has_a_wider_key_and_deeper_keyways() -> None:
    for figures in (
        [(key.width, key.width) for key in metric_keys()],
        [(key.height, key.height) for key in metric_keys()],
        [(key.shaft_depth, key.hub_depth) for key in metric_keys()],
    ):
        assert figures == sorted(figures)
    assert len({key.width for key in metric_keys()}) == len(metric_keys())


@given(spans)
def test_every_shaft_of_the_table_has_exactly_one_key(shaft: Length) -> None:
    holding = [key for key in metric_keys() if key.shaft_over < shaft <= key.shaft_to]

    assert holding == [metric_key_for_shaft(shaft)]


@pytest.mark.parametrize("shaft", ["6", "500.000001", "1"])
def test_a_shaft_outside_the_table_has_no_key(shaft: str) -> None:
    assert metric_key_for_shaft(Length.mm(shaft)) is None


def test_every_width_of_the_table_is_found() -> None:
    assert all(metric_key_by_width(key.width) == key for key in metric_keys())
    assert metric_key_by_width(Length.mm(7)) is None


def test_a_key_with_top_clearance_stands_clear_and_one_without_is_pressed() -> None:
    for key in metric_keys():
        assert key.shaft_depth + key.hub_depth > key.height
        assert key.shaft_depth + key.hub_depth_no_top_clearance <= key.height
