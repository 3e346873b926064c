"""Shim stock by thickness."""

from __future__ import annotations

from broachplan.lengths import Length
from broachplan.standards.shim_stock import shim_stock


def test_shim_stock_is_marked_as_recalled_and_not_read() -> None:
    assert {one.status for one in shim_stock()} == {"memory"}


def test_the_everyday_thicknesses_are_there() -> None:
    # Common practice, no source.
    thicknesses = [one.thickness for one in shim_stock()]

    assert thicknesses == sorted(thicknesses)
    assert {Length.inches("0.005"), Length.inches("0.010"), Length.mm("0.1"), Length.mm("1")} <= set(
        thicknesses
    )
