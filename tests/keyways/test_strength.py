"""Key strength: against published answers, laws of the formulas, and what cannot be asked."""

from __future__ import annotations

from fractions import Fraction
from math import pi

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from broachplan.errors import InputError
from broachplan.keyways.key import Key
from broachplan.keyways.strength import (
    FailureMode,
    Load,
    LoadBy,
    Strength,
    Strengths,
    key_strength,
    shaft_torque,
    torque_of,
)
from broachplan.lengths import Length
from broachplan.quantities import Power, Pressure, Torque, parse_power
from broachplan.questions.read_strength import read_strength
from broachplan.questions.shaft import StrengthQuestion
from broachplan.standards.named import Shape

IN_ITS_TIME = settings(deadline=None)  # a busy machine is no failure
MM_25 = Key(Length.mm(8), Length.mm(7), Shape.RECTANGULAR)
torques = st.integers(10**6, 10**10).map(Torque)
lengths = st.integers(10**6, 10**9).map(Length)
safeties = st.integers(10, 100).map(lambda tenths: Fraction(tenths, 10))
strengths = st.integers(10 * 10**6, 2000 * 10**6).map(Pressure)


def mpa(value: int) -> Pressure:
    return Pressure(value * 10**6)


def key(width: Fraction | int, height: Fraction | int) -> Key:
    return Key(Length.mm(width), Length.mm(height), Shape.RECTANGULAR)


def test_a_14_by_9_key_as_strong_as_its_shaft_of_45_mm_is_105_mm_long() -> None:
    """Machine-elements tutorial sheet: shaft yield 400 N/mm2, key yield 340, factor of safety 2, maximum-shear
    theory; published 105 mm, rounded up from 1.8 kN m."""
    answer = read_strength(
        StrengthQuestion(
            shaft="45 mm", key="14 x 9 mm", shaft_yield="400 MPa", key_yield="340 MPa", safety_factor="2"
        )
    )

    assert answer.load_by is LoadBy.SHAFT
    assert answer.torque == pytest.approx(pi * 45**3 / 16 * (400 / 2 / 2) / 1000)
    assert answer.weakest.part is FailureMode.KEY_BEARING
    assert answer.needed is not None
    assert Length.mm(103) < answer.needed <= Length.mm(105)


def test_a_key_of_a_quarter_of_50_mm_and_two_thirds_of_that_is_142_mm_long() -> None:
    """Machine-elements tutorial sheet: 42 N/mm2 in shear for shaft and key, 70 in crushing; published 142 mm."""
    answer = key_strength(
        Length.mm(50),
        key(Fraction(50, 4), Fraction(50, 6)),
        Strengths(key_shear=mpa(42), key_bearing=mpa(70), shaft_yield=mpa(84)),
        Load(),
        safety=Fraction(1),
    )

    assert answer.weakest.part is FailureMode.KEY_BEARING
    assert answer.needed is not None
    assert Length.mm(141) < answer.needed <= Length.mm(142)


PUBLISHED = [
    # key, yield and shear yield in ksi, length in inches needed in shear and in bearing (None: not published)
    ("1/2 x 1/2 in", "66", "39.6", 4.43, 5.32),
    ("1/2 x 3/8 in", "66", "39.6", 4.43, 7.09),
    ("1/2 x 1/2 in", "71", "42.6", 4.12, 4.94),
]


@pytest.mark.parametrize(("name", "yields", "shears", "by_shear", "by_bearing"), PUBLISHED)
def test_a_half_inch_key_in_a_2_inch_shaft_is_as_long_as_published(
    name: str, yields: str, shears: str, by_shear: float, by_bearing: float
) -> None:
    """Published machine-design solutions: 87.65 kip in on a 2 in shaft; lengths within 0.2 percent."""
    answer = read_strength(
        StrengthQuestion(
            shaft="2 in", key=name, torque="87650 lbf in", safety_factor="1",
            key_yield=f"{yields} ksi", shear_strength=f"{shears} ksi",
        )
    )  # fmt: skip

    needed = {check.part: check.needed for check in answer.checks}
    for part, published in ((FailureMode.KEY_SHEAR, by_shear), (FailureMode.KEY_BEARING, by_bearing)):
        length = needed[part]
        assert length is not None
        assert length.nm / 25_400_000 == pytest.approx(published, rel=0.002)


def test_the_stricter_choice_of_half_the_yield_in_shear_says_that_it_is_one() -> None:
    """Shigley's distortion-energy figure is 0.577 of the yield: a key is taken to shear at 13 percent less here."""
    answer = read_strength(
        StrengthQuestion(
            shaft="2 in", key="1/2 x 1/2 in", torque="87650 lbf in", safety_factor="1", key_yield="66 ksi"
        )
    )

    shear = next(check for check in answer.checks if check.part is FailureMode.KEY_SHEAR)
    assert shear.strength.mpa == pytest.approx(66 * 6.894757 / 2, rel=1e-6)
    assert any("Shigley uses 0.577" in said and "stricter choice" in said for said in answer.assumptions)


def test_c3_12_5_mm_by_37_5_mm_in_shear_at_25_mm_carries_2_344_kilonewton_metres() -> None:
    """Solutions site for a machine-elements text: 200 N/mm2 in shear; published 2.344 kN m."""
    answer = key_strength(
        Length.mm(50),
        key(Fraction("12.5"), Fraction("12.5")),
        Strengths(key_shear=mpa(200)),
        Load(),
        length=Length.mm("37.5"),
        safety=Fraction(1),
    )

    assert answer.carries == pytest.approx(2344, abs=0.5)
    assert answer.weakest.part is FailureMode.KEY_SHEAR


@IN_ITS_TIME
@given(torques, strengths, safeties)
def test_the_length_needed_is_the_least_that_is_enough(
    torque: Torque, strength: Pressure, safety: Fraction
) -> None:
    def at(length: Length | None) -> Strength:
        return key_strength(
            Length.mm(25),
            MM_25,
            Strengths(key_yield=strength),
            Load(torque=torque),
            length=length,
            safety=safety,
        )

    needed = at(None).needed
    assert needed is not None
    a_nanometre = 1.01 / needed.nm + 1e-9
    assume(needed > Length(1000))
    assert at(needed).enough
    assert not at(needed - Length(1)).enough
    assert at(needed).factor == pytest.approx(float(safety), rel=a_nanometre)
    assert at(needed).carries == pytest.approx(torque.newton_metres, rel=a_nanometre)


@IN_ITS_TIME
@given(torques, lengths, st.tuples(strengths, strengths, strengths))
def test_the_weakest_part_has_the_least_factor_and_needs_the_most_length(
    torque: Torque, length: Length, given_strengths: tuple[Pressure, Pressure, Pressure]
) -> None:
    key_yield, shaft_yield, hub_yield = given_strengths
    answer = key_strength(
        Length.mm(25),
        MM_25,
        Strengths(key_yield=key_yield, shaft_yield=shaft_yield, hub_yield=hub_yield),
        Load(torque=torque),
        length=length,
        safety=Fraction(2),
    )
    factors = [check.factor for check in answer.checks if check.factor]
    needs = [check.needed for check in answer.checks if check.needed]

    assert len(factors) == len(needs) == 4
    assert answer.factor == min(factors)
    assert answer.needed == max(needs)


def test_a_square_key_is_as_strong_in_shear_as_in_bearing_by_the_maximum_shear_theory() -> None:
    answer = key_strength(
        Length.mm(30),
        Key(Length.mm(8), Length.mm(8), Shape.SQUARE),
        Strengths(key_yield=mpa(300)),
        Load(torque=Torque(100 * 10**6)),
        safety=Fraction(2),
    )

    shear, bearing = answer.checks
    assert (shear.part, bearing.part) == (FailureMode.KEY_SHEAR, FailureMode.KEY_BEARING)
    assert shear.needed == bearing.needed


@IN_ITS_TIME
@given(st.integers(1, 10**6), st.integers(1, 10**5))
def test_power_is_torque_times_speed(kilowatts: int, rpm: int) -> None:
    torque = torque_of(Power(kilowatts * 10**9), Fraction(rpm))

    assert torque * 2 * pi * rpm / 60 == pytest.approx(kilowatts * 1000)


def test_one_horsepower_at_63025_revolutions_is_an_inch_pound() -> None:
    """Machinery's Handbook and others: torque in lbf in = 63 025 hp / rpm."""
    assert torque_of(parse_power("1 hp"), Fraction(63025)) == pytest.approx(0.1129848, rel=1e-5)


@IN_ITS_TIME
@given(lengths, strengths)
def test_a_shaft_twice_as_thick_carries_eight_times_the_torque(diameter: Length, strength: Pressure) -> None:
    assert shaft_torque(diameter * 2, strength) == pytest.approx(8 * shaft_torque(diameter, strength))


def test_a_strength_that_is_given_overrides_the_one_from_the_yield() -> None:
    answer = key_strength(
        Length.mm(25),
        MM_25,
        Strengths(key_yield=mpa(300), key_shear=mpa(100)),
        Load(torque=Torque(10**8)),
        safety=Fraction(1),
    )

    assert [(check.strength.mpa, check.basis) for check in answer.checks] == [
        (100, "given"),
        (300, "the yield"),
    ]
    assert not any("half the yield" in said for said in answer.assumptions)


def test_what_was_not_checked_is_said() -> None:
    answer = key_strength(
        Length.mm(25), MM_25, Strengths(hub_yield=mpa(200)), Load(torque=Torque(10**8)), safety=Fraction(1)
    )

    assert answer.weakest.part is FailureMode.HUB_BEARING
    assert (
        "not checked, for no strength was given: key in shear, key in bearing, shaft in bearing"
        in answer.remarks
    )


def test_a_torque_that_the_shaft_does_not_carry_is_said_and_its_own_is_not() -> None:
    own = read_strength(StrengthQuestion(shaft="25 mm", shaft_yield="300 MPa", safety_factor="2"))
    assert own.torque is not None
    more = read_strength(
        StrengthQuestion(
            shaft="25 mm", shaft_yield="300 MPa", safety_factor="2", torque=f"{own.torque * 1.01:.1f} N m"
        )
    )

    assert not any("does not carry" in remark for remark in own.remarks)
    assert "the shaft itself does not carry this torque at safety 2" in more.remarks


def test_a_very_long_key_is_remarked_on() -> None:
    long = read_strength(
        StrengthQuestion(shaft="25 mm", torque="2000 N m", key_yield="300 MPa", safety_factor="2")
    )

    assert any("over 1.5 shaft diameters" in remark for remark in long.remarks)


def test_the_standard_s_key_is_taken_when_none_is_named_with_its_height() -> None:
    def named(shaft: str, size: str = "", standard: str = "") -> str:
        written = StrengthQuestion(
            shaft=shaft, key=size, standard=standard, torque="10 N m", key_yield="300 MPa", safety_factor="2"
        )
        return read_strength(written).key.name

    assert named("25 mm") == "8 x 7 mm"
    assert named("1 in") == "1/4 x 1/4 in"
    assert named("25 mm", "6 mm") == "6 x 6 mm"
    assert named("25 mm", "9 x 5 mm") == "9 x 5 mm"
    assert named("25.4 mm", standard="inch") == "1/4 x 1/4 in"


@pytest.mark.parametrize(
    ("written", "message"),
    [
        (StrengthQuestion(shaft="25 mm", key_yield="300 MPa", safety_factor="2"), "load: give the torque, or the power and "),
        (StrengthQuestion(shaft="25 mm", key_yield="300 MPa", straight="20 mm"), "load: give the torque, or the power "),
        (StrengthQuestion(shaft="25 mm", torque="9 N m", key_yield="300 MPa"), "give the key's length, or the safety factor that you choose"),
        (StrengthQuestion(shaft="25 mm", torque="9 N m", safety_factor="2"), "strength: give the key's yield, or its shear"),
        (StrengthQuestion(shaft="25 mm", torque="9 N m", power="1 kW", rpm="9", safety_factor="2"), "load: give the torque, or .* not both"),
        (StrengthQuestion(shaft="25 mm", torque="9 N m", rpm="9", safety_factor="2"), "load: give the torque, or .* not both"),
        (StrengthQuestion(shaft="25 mm", power="1 kW", safety_factor="2"), "load: power and speed go together"),
        (StrengthQuestion(shaft="25 mm", rpm="1450", safety_factor="2"), "load: power and speed go together"),
        (StrengthQuestion(shaft="25 mm", torque="9 N m", safety_factor="0.9"), "safety: read “0.9”; write a number from 1 to 1,000"),
        (StrengthQuestion(shaft="25 mm", torque="9 N m", safety_factor="1001"), "safety: read “1001”; write a number from 1 to 1,000"),
        (StrengthQuestion(shaft="25 mm", torque="9 N m", safety_factor="two"), "safety: read “two”; write a number from 1"),
        (StrengthQuestion(shaft="25 mm", torque="9 N m", safety_factor="2 rpm"), "safety: read “2 rpm”; write a number from 1"),
        (StrengthQuestion(shaft="25 mm", power="1 kW", rpm="1e3"), "rpm: read “1e3”; write a number above 0, at most 1,000,000"),
        (StrengthQuestion(shaft="25 mm", torque="9", safety_factor="2"), "torque: read “9”; write a number and its unit"),
        (StrengthQuestion(shaft="25 mm", torque="9 N m", key_yield="300", safety_factor="2"), "key yield: read “300”; write a"),
        (StrengthQuestion(shaft="25 mm", torque="9 N m", straight="0 mm"), "length: read “0 mm”; it must be above zero"),
        (StrengthQuestion(shaft="8 mm", key="8 x 7 mm", torque="9 N m", safety_factor="2"), "keyway width 8 mm: it must be less than the bore or shaft, 8 mm"),
        (StrengthQuestion(shaft="8 mm", key="4 x 8 mm", torque="9 N m", safety_factor="2"), "key 4 x 8 mm: too high for a shaft of 8 mm"),
        (StrengthQuestion(shaft="25 mm", torque="9 N m", key_yield="0.000001 MPa", safety_factor="2"), "key yield: too small; half of it must be 1 Pa or more"),
        (StrengthQuestion(shaft="25 mm", key="0.000001 mm x 0.000001 mm", torque="9 N m", shaft_yield="300 MPa", safety_factor="2"), "too small; half its height must be 1 nm or more"),
        (StrengthQuestion(shaft="4 mm", torque="9 N m", safety_factor="2"), "key: the metric table goes from"),
    ],
)  # fmt: skip
def test_what_cannot_be_asked_is_refused_in_a_sentence(written: StrengthQuestion, message: str) -> None:
    with pytest.raises(InputError, match=message):
        read_strength(written)


def test_a_speed_may_carry_its_unit() -> None:
    def torque(rpm: str) -> float | None:
        return read_strength(
            StrengthQuestion(shaft="25 mm", power="2 kW", rpm=rpm, key_yield="300 MPa", safety_factor="2")
        ).torque

    assert torque("1450") == torque("1450 rpm") == torque("1450 1/min")
