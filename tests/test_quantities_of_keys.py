"""Cutting speeds, torques, powers and strengths: read exactly, from a closed list of units."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from broachplan.errors import InputError
from broachplan.lengths import Units
from broachplan.quantities import (
    Speed,
    parse_power,
    parse_pressure,
    parse_speed,
    parse_torque,
    show_power,
    show_pressure,
    show_speed,
    show_torque,
)

IN_ITS_TIME = settings(deadline=None)  # a busy machine is no failure
INCH = Fraction(254, 10_000)
POUND_FORCE = Fraction("0.45359237") * Fraction("9.80665")
tenths = st.integers(1, 99_999).map(lambda count: Fraction(count, 10))


def decimal(value: Fraction) -> str:
    return str(float(value))


@IN_ITS_TIME
@given(tenths)
def test_feet_a_minute_are_exact(value: Fraction) -> None:
    assert parse_speed(f"{decimal(value)} ft/min").um_per_min == value * 12 * INCH * 10**6


@IN_ITS_TIME
@given(tenths)
def test_metres_a_minute_and_a_second_are_exact(value: Fraction) -> None:
    assert parse_speed(f"{decimal(value)} m/min").um_per_min == value * 10**6
    assert parse_speed(f"{decimal(value)} m/s").um_per_min == value * 60 * 10**6


@IN_ITS_TIME
@given(tenths)
def test_a_pound_force_inch_is_rounded_once_to_a_micronewton_metre(value: Fraction) -> None:
    assert parse_torque(f"{decimal(value)} lbf in").micro == round(value * POUND_FORCE * INCH * 10**6)


@IN_ITS_TIME
@given(tenths)
def test_a_horsepower_is_550_foot_pounds_force_a_second(value: Fraction) -> None:
    assert parse_power(f"{decimal(value)} hp").micro == round(550 * 12 * value * POUND_FORCE * INCH * 10**6)


@IN_ITS_TIME
@given(tenths)
def test_a_ksi_is_a_thousand_psi_and_a_mpa_is_a_newton_on_a_square_millimetre(value: Fraction) -> None:
    assert parse_pressure(f"{decimal(value)} ksi").pa == round(value * 1000 * POUND_FORCE / INCH**2)
    assert parse_pressure(f"{decimal(value)} MPa") == parse_pressure(f"{decimal(value)} N/mm²")


@pytest.mark.parametrize(
    "written", ["88 lbf ft", "88 ft-lb", "88 ft lbf", "88 lb-ft", "88 ft·lbf", "88ft*lbf", "1056 lbf in"]
)
def test_every_way_to_write_a_pound_force_foot_is_the_same_torque(written: str) -> None:
    assert parse_torque(written) == parse_torque("88 lbf ft")


@pytest.mark.parametrize("written", ["120 N m", "120 Nm", "120 N·m", "120 N-m", "0.12 kN m", "120000 N mm"])
def test_every_way_to_write_a_newton_metre_is_the_same_torque(written: str) -> None:
    assert parse_torque(written).newton_metres == 120


@pytest.mark.parametrize(
    ("read", "text", "right"),
    [
        (parse_speed, "80", "80 ft/min or 25 m/min"),
        (parse_speed, "80 in/min", "80 ft/min or 25 m/min"),
        (parse_speed, "-80 ft/min", "80 ft/min or 25 m/min"),
        (parse_torque, "120", "120 N m"),
        (parse_torque, "120 kg m", "120 N m"),
        (parse_torque, "9**9 N m", "120 N m"),
        (parse_power, "10 PS", "7.5 kW or 10 hp"),
        (parse_power, "10 kW m", "7.5 kW or 10 hp"),
        (parse_pressure, "340 bar", "340 MPa"),
        (parse_pressure, "1e5 psi", "340 MPa"),
        (parse_pressure, "50" + " " * 40 + "ksi", "340 MPa"),
    ],
)
def test_what_is_not_of_the_list_is_refused_with_what_would_be_right(
    read: Callable[[str], object], text: str, right: str
) -> None:
    with pytest.raises(InputError, match=rf"write a number and its unit, for example {right}"):
        read(text)


@pytest.mark.parametrize(
    ("read", "text"),
    [
        (parse_speed, "0 ft/min"),
        (parse_torque, "0 N m"),
        (parse_power, "0 kW"),
        (parse_pressure, f"{10**20} MPa"),
    ],
)
def test_nothing_at_all_and_too_much_are_refused(read: Callable[[str], object], text: str) -> None:
    with pytest.raises(InputError, match="it must be above zero and of a size that exists"):
        read(text)


def test_each_is_shown_in_the_unit_that_goes_with_the_lengths() -> None:
    assert show_speed(Speed(24_384_000), Units.INCH) == "80.0 ft/min"
    assert show_speed(Speed(28_000_000), Units.MM) == "28.0 m/min"
    assert show_torque(parse_torque("88 lbf ft").newton_metres, Units.INCH) == "1,056 lbf in"
    assert show_torque(120.0, Units.MM) == "120.0 N m"
    assert show_power(parse_power("10 hp"), Units.FRACTION) == "10.00 hp"
    assert show_power(parse_power("7.5 kW"), Units.MM) == "7.50 kW"
    assert show_pressure(parse_pressure("50 ksi").mpa, Units.INCH) == "50,000 psi"
    assert show_pressure(340.0, Units.MM) == "340.0 MPa"
