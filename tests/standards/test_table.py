"""The reader of the shipped tables, and what holds for every one of them."""

from __future__ import annotations

from itertools import pairwise

import pytest

from broachplan.lengths import Length
from broachplan.standards.inch_keys import key_stock, keyseat_depths, keyseat_widths
from broachplan.standards.iso_286 import keyway_zones
from broachplan.standards.table import Zone, cell, cell_or_none, rows, zone_for

TABLES = (
    "asme_b17_1_keys",
    "asme_b17_1_key_stock",
    "asme_b17_1_keyseat_widths",
    "asme_b17_1_keyseat_depths",
    "asme_b17_1_corners",
    "asme_b17_1_keyseat_position",
    "shigley_woodruff_shaft_ranges",
    "asme_b17_2_woodruff",
    "iso_773_keys",
    "iso_3912_woodruff",
    "iso_286_keyway_widths",
)
ZONES = {
    "key stock": key_stock(),
    "keyseat widths": keyseat_widths(),
    "keyseat depths": keyseat_depths(),
    "keyway zones": keyway_zones(),
}
every_table_of_zones = pytest.mark.parametrize("zones", ZONES.values(), ids=ZONES)


@pytest.mark.parametrize(
    ("text", "nm"),
    [
        ("0.09375 in", 2_381_250),
        ("-0.015 in", -381_000),
        ("0.0125 mm", 12_500),
        ("0 in", 0),
        ("500 mm", 500_000_000),
    ],
)
def test_a_cell_is_read_exactly(text: str, nm: int) -> None:
    assert cell(text) == Length(nm)


def test_a_cell_that_does_not_come_out_in_nanometres_is_refused() -> None:
    with pytest.raises(ValueError, match="not a whole number of nanometres"):
        cell("0.00000001 in")


def test_an_empty_cell_is_no_length() -> None:
    assert cell_or_none("") is None
    assert cell_or_none("1 in") == Length.inches(1)


@pytest.mark.parametrize("name", TABLES)
def test_every_row_names_its_source_and_how_it_is_known(name: str) -> None:
    for row in rows(name):
        assert row["source"]
        assert row["status"] in ("read", "memory")


@pytest.mark.parametrize("name", TABLES)
def test_every_row_has_as_many_cells_as_the_header(name: str) -> None:
    table = rows(name)

    assert table
    assert all(None not in row and None not in row.values() for row in table)


@every_table_of_zones
def test_ranges_of_one_kind_stand_in_order_and_meet_without_gap(zones: tuple[Zone, ...]) -> None:
    for labels in {zone.labels for zone in zones}:
        ranges = [(zone.over, zone.to) for zone in zones if zone.labels == labels]

        assert ranges[0][0] == Length(0)
        assert all(over < to for over, to in ranges)
        assert all(below[1] == above[0] for below, above in pairwise(ranges))


@every_table_of_zones
def test_deviations_stand_lower_first(zones: tuple[Zone, ...]) -> None:
    assert all(zone.lower < zone.upper for zone in zones)


@every_table_of_zones
def test_a_range_holds_its_upper_end_and_not_its_lower(zones: tuple[Zone, ...]) -> None:
    for zone in zones:
        assert zone_for(zones, zone.labels, zone.to) is zone
        assert zone_for(zones, zone.labels, zone.over + Length(1)) is zone
        assert zone_for(zones, zone.labels, zone.over) is not zone


def test_outside_a_table_there_is_no_row() -> None:
    assert zone_for(keyseat_widths(), ("1", "square"), Length.inches("3.5001")) is None
    assert zone_for(keyseat_widths(), ("3", "square"), Length.inches(1)) is None
