"""The table of cutting forces against what its sources print."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.standards.materials import ForceFigures, MaterialRow, material_rows

TABLE = {row.name: row for row in material_rows()}
every_row = pytest.mark.parametrize("row", TABLE.values(), ids=TABLE)


def kc(figures: ForceFigures, chip_mm: float) -> float:
    return float(figures.kc11 * chip_mm**-figures.mc)


@every_row
def test_every_figure_names_its_source_and_how_it_is_known(row: MaterialRow) -> None:
    for figures in (row.low, row.high):
        assert figures.source
        assert figures.status in ("read", "memory")
        assert figures.kc11 > 0
        assert 0 <= figures.mc < 0.5


@every_row
@given(chip_mm=st.floats(0.02, 0.3))
def test_the_lower_source_is_never_above_the_larger(row: MaterialRow, chip_mm: float) -> None:
    assert kc(row.low, chip_mm) <= kc(row.high, chip_mm)


def test_names_are_distinct_and_plain() -> None:
    names = [row.name for row in material_rows()]

    assert len({name.lower() for name in names}) == len(names)
    assert all("," not in name and name == " ".join(name.split()) for name in names)


def test_only_grey_iron_is_called_brittle() -> None:
    assert {row.name for row in material_rows() if row.group == "brittle"} == {
        "grey cast iron",
        "grey cast iron 200 HB",
    }
    assert {row.group for row in material_rows()} == {"brittle", "ductile"}


def test_grey_iron_of_200_hb_has_the_constant_of_keyway_push_broaching() -> None:
    """Published course problem with solution, keyway push broaching, 2011: 1500 N/mm2."""
    assert (TABLE["grey cast iron 200 HB"].low.kc11, TABLE["grey cast iron 200 HB"].low.mc) == (1500, 0)


@pytest.mark.parametrize(
    ("name", "side", "figure"),
    [("wrought aluminium", "low", 700), ("tool steel annealed", "low", 3000), ("brass", "high", 1250)],
)
def test_power_constants_are_those_of_the_data_handbook(name: str, side: str, figure: float) -> None:
    """Mechanical Engineers Data Handbook, power constants, N/mm2."""
    figures = getattr(TABLE[name], side)

    assert (figures.kc11, figures.mc, figures.status) == (figure, 0, "read")


def test_a_stand_in_says_so() -> None:
    assert TABLE["austenitic stainless steel"].high.source.startswith("stand-in: ")
    assert TABLE["tool steel annealed"].high.source.startswith("stand-in: ")
    assert TABLE["bronze"].high.source.startswith("stand-in: ")
