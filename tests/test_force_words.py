"""Forces in words, and the one factor that is written out beside Pint."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from broachplan.lengths import Units
from broachplan.quantities import NEWTONS_PER_LBF, show_force, show_forces_apart
from tests.pints_own import pint_quantity


def test_the_pound_force_is_pints_to_the_last_digit() -> None:
    pound = pint_quantity()(Fraction(1), "pound_force")

    assert pound.to("newton").magnitude == NEWTONS_PER_LBF


@given(st.integers(min_value=0, max_value=10**6))
def test_whole_pounds_force_are_shown_as_they_are(pounds: int) -> None:
    assert show_force(float(pounds * NEWTONS_PER_LBF), Units.INCH) == f"{pounds:,} lbf"


def test_forces_beside_millimetres_are_shown_in_kilonewtons() -> None:
    assert show_force(12_340.0, Units.MM) == "12.34 kN"


def test_forces_that_differ_by_less_than_usual_decimals_show_the_difference() -> None:
    assert show_forces_apart(Units.INCH, 2100.0, 2099.65) == ["472.1 lbf", "472.0 lbf"]
    assert show_forces_apart(Units.MM, 2100.0, 2099.65) == ["2.1000 kN", "2.0997 kN"]
    assert show_forces_apart(Units.INCH, 2100.0, 3100.0) == ["472 lbf", "697 lbf"]
    assert show_forces_apart(Units.MM, 2100.0, 2100.0) == ["2.10 kN", "2.10 kN"]
