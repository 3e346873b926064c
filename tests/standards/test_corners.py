"""Fillets and chamfers: the order of the tables and what is known how."""

from __future__ import annotations

import pytest

from broachplan.lengths import Length
from broachplan.standards.corners import inch_corners
from broachplan.standards.metric_keys import metric_keys


@pytest.mark.parametrize("height", ["1/16", "1/4", "5.001"])
def test_an_inch_key_too_low_or_too_high_for_the_table_has_no_fillet(height: str) -> None:
    assert inch_corners(Length.inches(height)) is None


def test_higher_inch_keys_have_larger_fillets_and_chamfers_all_from_memory() -> None:
    found = [inch_corners(Length.inches(f"{sixteenths}/16")) for sixteenths in range(5, 81)]
    shown = [corners for corners in found if corners]

    assert len(shown) == len(found)
    assert [corners.radius for corners in shown] == sorted(corners.radius for corners in shown)
    assert {corners.status for corners in shown} == {"memory"}
    assert all(corners.chamfer and corners.chamfer[0] > corners.radius[0] for corners in shown)


def test_half_the_height_decides_and_a_range_holds_its_upper_end() -> None:
    at, past = inch_corners(Length.inches("1/2")), inch_corners(Length.inches("0.5001"))

    assert at is not None
    assert past is not None
    assert at.radius[0] < past.radius[0]


def test_a_metric_chamfer_clears_the_radius_of_its_keyway() -> None:
    for key in metric_keys():
        assert key.corners.chamfer is not None
        assert key.corners.radius[0] < key.corners.radius[1] <= key.corners.chamfer[0]
        assert key.corners.status == "read"


def test_metric_corners_grow_with_the_key() -> None:
    radii = [key.corners.radius for key in metric_keys()]

    assert radii == sorted(radii)
    assert (radii[0][0], radii[-1][1]) == (Length.mm("0.08"), Length.mm("2.5"))
