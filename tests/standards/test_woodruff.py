"""The Woodruff tables: their order, what holds between their columns, and what is known how.

Their depths are held against print in tests/keyways.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import pairwise

import pytest

from broachplan.lengths import Length
from broachplan.standards.woodruff import (
    inch_woodruff,
    inch_woodruffs,
    metric_woodruffs,
    shaft_range,
    shaft_ranges,
)


def test_the_inch_table_has_41_numbers_each_once() -> None:
    assert len({key.number for key in inch_woodruffs()}) == len(inch_woodruffs()) == 41


def test_a_number_gives_width_in_32nds_and_diameter_in_8ths() -> None:
    """Common practice, no source: the last two digits are eighths of an inch in diameter, those before 32nds in width."""
    for key in inch_woodruffs():
        whole, _, half = key.number.partition(".")
        eighths = f"{int(whole[-2:]) * 2 + bool(half)}/16"

        assert key.width == Length.inches(f"{whole[:-2]}/32")
        assert key.diameter == Length.inches(eighths)


def test_larger_diameters_come_later_and_so_do_wider_keys_of_one() -> None:
    order = [(key.diameter, key.width) for key in inch_woodruffs()]

    assert order == sorted(set(order))


def test_width_with_height_or_with_diameter_names_one_key() -> None:
    named = Counter(
        (key.width, size) for key in inch_woodruffs() for size in (key.height.nominal, key.diameter)
    )

    assert set(named.values()) == {1}


def test_the_key_projects_half_its_width_over_the_edge() -> None:
    """Common practice, no source; tabled to 0.0001 in."""
    for key in inch_woodruffs():
        thou_tenth = Length.inches("0.0001")

        assert abs(key.above_shaft * 2 - key.width) <= thou_tenth * 2
        assert abs(key.height.lower - key.shaft_depth.nominal - key.above_shaft) <= thou_tenth


def test_every_key_goes_into_its_hub_and_under_its_roof() -> None:
    for key in inch_woodruffs():
        assert key.hub_width.lower > key.width
        assert key.shaft_depth.nominal + key.hub_depth.nominal > key.height.upper


def test_the_shaft_holds_the_key_tight_or_nearly_and_the_cutter_clears_it() -> None:
    for key in inch_woodruffs():
        assert key.shaft_width.lower < key.width < key.shaft_width.upper
        assert key.cutter_diameter.lower >= key.diameter - Length.inches("0.0005")
        assert key.cutter_diameter.lower < key.cutter_diameter.upper


def test_depths_may_be_five_thou_over_and_hub_widths_two() -> None:
    for key in inch_woodruffs():
        for limits, over in ((key.shaft_depth, "0.005"), (key.hub_depth, "0.005"), (key.hub_width, "0.002")):
            assert (limits.lower, limits.spread) == (limits.nominal, Length.inches(over))


def test_depths_of_23_keys_and_all_shaft_ranges_were_read_and_all_widths_are_from_memory() -> None:
    assert Counter(key.status for key in inch_woodruffs()) == {"read": 23, "memory": 18}
    assert {key.height_status for key in inch_woodruffs()} == {"read"}
    assert {key.width_status for key in inch_woodruffs()} == {"memory"}
    assert {(row.source, row.status) for row in shaft_ranges()} == {
        ("Shigley's Mechanical Engineering Design, table 7-8", "read")
    }


def test_a_number_is_found_and_another_is_not() -> None:
    assert all(inch_woodruff(key.number) is key for key in inch_woodruffs())
    assert inch_woodruff("909") is None


def test_shafts_for_each_width_are_those_of_shigleys_table() -> None:
    """Shigley's Mechanical Engineering Design, table 7-8: key width, shaft diameters from and to, inclusive."""
    shigley = [
        "1/16",
        "5/16",
        "1/2",
        "3/32",
        "3/8",
        "7/8",
        "1/8",
        "3/8",
        "1-1/2",
        "5/32",
        "1/2",
        "1-5/8",
        "3/16",
        "9/16",
        "2",
        "1/4",
        "11/16",
        "2-1/4",
        "5/16",
        "3/4",
        "2-3/8",
        "3/8",
        "1",
        "2-5/8",
    ]
    sizes = [Length.inches(sum(map(Fraction, size.split("-")))) for size in shigley]

    assert [size for row in shaft_ranges() for size in (row.width, row.shaft_from, row.shaft_to)] == sizes


def test_wider_keys_are_for_larger_shafts_and_7_32_has_no_range() -> None:
    table = [(row.width, row.shaft_from, row.shaft_to) for row in shaft_ranges()]

    assert table == sorted(table)
    assert all(row[1] < row[2] for row in table)
    assert [below[2] < above[2] for below, above in pairwise(table)] == [True] * 7
    assert shaft_range(Length.inches("7/32")) is None
    assert all(shaft_range(row.width) is row for row in shaft_ranges())


@pytest.mark.parametrize("column", ["torque", "locating"])
def test_shafts_of_the_metric_table_stand_in_order_and_meet_without_gap(column: str) -> None:
    spans = [span for key in metric_woodruffs() if (span := getattr(key, column))]

    assert spans[0].over == Length.mm(3)
    assert all(below.to == above.over for below, above in pairwise(spans))


def test_a_range_holds_its_upper_end_and_not_its_lower() -> None:
    torque, locating = metric_woodruffs()[5].torque, metric_woodruffs()[14].locating

    assert torque is not None
    assert locating is not None
    assert (torque.hold(Length.mm(8)), torque.hold(Length.mm(10))) == (False, True)
    assert not torque.hold(Length.mm("10.001"))
    assert locating.hold(Length.mm(90))
    assert not locating.hold(Length.mm(40))


def test_every_metric_key_is_lower_than_half_its_diameter_and_clears_its_hub() -> None:
    for key in metric_woodruffs():
        assert key.height * 2 < key.diameter
        assert key.shaft_depth.nominal + key.hub_depth.nominal > key.height
        assert key.corners.chamfer is None
