"""What people write line by line: every line enters the answer, and one that cannot be read is refused by its name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from broachplan.errors import InputError
from broachplan.keyways.key import Key, KeySize
from broachplan.keyways.milling import milling_card
from broachplan.keyways.milling_card import CardRequest, MicrometerReading, Over
from broachplan.keyways.parallel import joint
from broachplan.keyways.strength import Load, Strengths, key_strength
from broachplan.lengths import Length, Limits, System
from broachplan.quantities import parse_power, parse_pressure, parse_speed, parse_torque
from broachplan.questions.read_joint import read_joint
from broachplan.questions.read_keyseat import read_card
from broachplan.questions.read_strength import read_strength
from broachplan.questions.shaft import JointQuestion, KeyseatQuestion, StrengthQuestion
from broachplan.questions.texts import read_deviations
from broachplan.standards.named import Fit, Shape, Standard

INCH, MM = Length.inches, Length.mm
JOINT = JointQuestion(shaft="1 in", standard="inch")
CARD = KeyseatQuestion(shaft="1 in", standard="inch", measured_over="key")
STRENGTH = StrengthQuestion(
    shaft="45 mm", key="14 x 9 mm", key_yield="340 MPa", torque="100 N m", safety_factor="2"
)
READERS: dict[str, Callable[[dict[str, Any]], object]] = {
    "joint": lambda line: read_joint(replace(JOINT, **line)),
    "card": lambda line: read_card(replace(CARD, **line)),
    "strength": lambda line: read_strength(replace(STRENGTH, **line)),
}


@pytest.mark.parametrize(
    ("line", "name"),
    [
        *(
            ("joint", each)
            for each in ("shaft", "standard", "key", "shape", "fit", "hub_key:key", "length")
        ),
        *(
            ("card", each)
            for each in ("shaft", "standard", "key", "shape", "fit", "finder", "cutter", "length", "step", "speed")
        ),
        *(
            ("card", each)
            for each in ("from_end:from", "depth_limits", "key_height", "measured", "measured_over", "number:key number")
        ),
        *(
            ("strength", each)
            for each in ("shaft", "standard", "key", "torque", "power", "rpm", "straight:length", "key_yield", "safety_factor:safety")
        ),
        *(
            ("strength", each)
            for each in ("shear_strength", "bearing_strength", "shaft_yield", "hub_yield")
        ),
    ],
)  # fmt: skip
def test_a_line_that_cannot_be_read_is_refused_by_its_name(line: str, name: str) -> None:
    field, _, shown = name.partition(":")

    with pytest.raises(InputError, match=f"^{(shown or field).replace('_', ' ')}"):
        READERS[line]({field: "?"})


def test_every_line_enters_the_strength_advisory() -> None:
    written = StrengthQuestion(
        shaft="45 mm +0 -0.1",
        key="14 x 9 mm",
        power=" 7.5 kW ",
        rpm=" 1450 RPM ",
        straight="60 mm",
        key_yield="340 MPa",
        shear_strength="200 MPa",
        bearing_strength="500 MPa",
        shaft_yield="400 MPa",
        hub_yield="250 MPa",
        safety_factor=" 2.5 ",
    )
    strengths = Strengths(
        key_yield=parse_pressure("340 MPa"),
        key_shear=parse_pressure("200 MPa"),
        key_bearing=parse_pressure("500 MPa"),
        shaft_yield=parse_pressure("400 MPa"),
        hub_yield=parse_pressure("250 MPa"),
    )

    assert read_strength(written) == key_strength(
        MM(45),
        Key(MM(14), MM(9), Shape.RECTANGULAR),
        strengths,
        Load(power=parse_power("7.5 kW"), rpm=Fraction(1450)),
        length=MM(60),
        safety=Fraction(5, 2),
    )


def test_a_key_as_high_as_it_is_wide_is_square_and_one_named_by_its_width_is_the_standards() -> None:
    by_size = read_strength(replace(STRENGTH, key="14 x 14 mm"))
    by_width = read_strength(
        StrengthQuestion(shaft="1 in", key="1/4 in", torque="100 N m", key_yield="340 MPa", safety_factor="2")
    )
    of_standard = joint(INCH(1), standard=Standard.INCH, key=KeySize(INCH("1/4"), None))

    assert (by_size.key.shape, read_strength(STRENGTH).key.shape) == (Shape.SQUARE, Shape.RECTANGULAR)
    assert by_width == key_strength(
        INCH(1),
        of_standard.key,
        Strengths(key_yield=parse_pressure("340 MPa")),
        Load(torque=parse_torque("100 N m")),
        safety=Fraction(2),
        remarks=of_standard.remarks,
    )


def test_every_line_enters_the_milling_card() -> None:
    written = KeyseatQuestion(
        shaft="1 in +0.000 -0.001",
        key="1/4 in",
        shape="square",
        fit="2",
        finder="0.5 in",
        cutter="1/4 in",
        length="2 in",
        from_end="1-1/2 in",
        step="0.060 in",
        depth_limits="+0.000 -0.012 in",
        speed="80 ft/min",
        key_height="0.2495 in",
        measured="1.1 in",
        measured_over=" Key ",
    )
    seat = joint(
        INCH(1), standard=Standard.INCH, key=KeySize(INCH("1/4"), None), shape=Shape.SQUARE, fit=Fit.CLASS_2
    )
    asked = CardRequest(
        finder=INCH("0.5"),
        cutter=INCH("1/4"),
        length=INCH(2),
        from_end=INCH("1.5"),
        step=INCH("0.060"),
        own_limits=read_deviations("+0.000 -0.012 in", System.INCH),
        speed=parse_speed("80 ft/min"),
        key_height=INCH("0.2495"),
        measured=MicrometerReading(Over.KEY, INCH("1.1")),
    )

    assert read_card(written) == milling_card(seat, Limits(INCH(1), INCH("0.999"), INCH(1)), asked)


@pytest.mark.parametrize("number", ["X2", "2X", "2 2", "0", "0.999999", "-2", "1000.1", "99999999999"])
def test_a_safety_out_of_bounds_is_refused_with_its_bounds(number: str) -> None:
    with pytest.raises(
        InputError, match=r"^safety: read “.*”; write a number from 1 to 1,000, for example 2$"
    ):
        read_strength(replace(STRENGTH, safety_factor=number))
