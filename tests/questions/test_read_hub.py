"""A hub in words: which figures and which standard come out, and what is refused by the name of its field."""

from __future__ import annotations

from dataclasses import replace

import pytest

from broachplan.errors import InputError
from broachplan.lengths import Length, Limits, System
from broachplan.questions.hub import HubQuestion
from broachplan.questions.read_hub import read_hub_question
from broachplan.standards.named import Shape, Standard
from broachplan.tooling.hub import BoreForm, Hardness, Scale, read_stack

MM, INCH = Length.mm, Length.inches
ASKED = HubQuestion(bore="1-3/8 in +0.001 -0.000", hub_length="1-3/4 in")


def test_every_field_of_a_hub_is_read() -> None:
    hub, _ = read_hub_question(
        replace(
            ASKED,
            hub_od="2 in",
            hardness="28 HRC",
            stack="3",
            bore_form=" Tapered ",
            material="mild steel",
        )
    )

    assert hub.bore == Limits(INCH("1.375"), INCH("1.375"), INCH("1.376"))
    assert (hub.length, hub.cut_length, hub.stack) == (INCH("1.75"), INCH("5.25"), 3)
    assert (hub.system, hub.bore_toleranced) == (System.INCH, True)
    assert (hub.outside_diameter, hub.hardness) == (INCH(2), Hardness(28, Scale.HRC))
    assert hub.bore_form is BoreForm.TAPERED
    assert hub.material is not None
    assert hub.material.name == "mild steel"


def test_fields_left_out_are_not_known() -> None:
    hub, _ = read_hub_question(replace(ASKED, bore="1-3/8 in"))

    assert (hub.stack, hub.outside_diameter, hub.hardness, hub.material) == (1, None, None, None)
    assert hub.bore_form is BoreForm.THROUGH
    assert not hub.bore_toleranced


def test_the_standard_follows_the_unit_of_the_bore() -> None:
    # ASME B17.1: 5/16 in for a 1-3/8 in bore; ISO 773: 8 mm for a 25 mm bore.
    _, inch = read_hub_question(ASKED)
    _, metric = read_hub_question(HubQuestion(bore="25 mm", hub_length="30 mm"))

    assert (inch.standard, inch.width.nominal) == (Standard.INCH, INCH("5/16"))
    assert (metric.standard, metric.width.nominal) == (Standard.METRIC, MM(8))


def test_a_standard_named_goes_before_the_unit() -> None:
    _, keyway = read_hub_question(
        HubQuestion(bore="25 mm", hub_length="30 mm", standard="inch", key="1/4 in")
    )

    assert (keyway.standard, keyway.width.nominal) == (Standard.INCH, INCH("1/4"))


def test_the_hub_reading_of_a_three_eighths_key_in_a_bore_of_one_and_three_eighths() -> None:
    # ASME B17.1: T = D - y + H/2 + C with y = (D - sqrt(D^2 - W^2)) / 2 and C = 0.005 in.
    _, keyway = read_hub_question(replace(ASKED, key="3/8 in"))
    arc = (1.375 - (1.375**2 - 0.375**2) ** 0.5) / 2

    assert keyway.reading.nominal.nm == pytest.approx((1.375 - arc + 0.1875 + 0.005) * 25_400_000, abs=1)


def test_shape_fit_and_aim_are_passed_on() -> None:
    _, taper = read_hub_question(replace(ASKED, key="3/8 in", shape="taper"))
    assert taper.shape is Shape.TAPER

    metric = HubQuestion(bore="25 mm", hub_length="30 mm")
    _, close = read_hub_question(replace(metric, fit="close"))
    _, normal = read_hub_question(replace(metric, fit="normal"))
    assert close.width != normal.width
    _, aimed = read_hub_question(replace(metric, reading="28.3 mm +0.1 -0", aim="28.36 mm"))
    assert aimed.aim == MM("28.36")


def test_own_figures_need_no_standard() -> None:
    hub, keyway = read_hub_question(
        HubQuestion(bore="25 mm", hub_length="17 mm", keyway_width="7 mm ±0.02", reading="28.1 mm ±0.05")
    )

    assert keyway.standard is Standard.OWN
    assert keyway.width == Limits(MM(7), MM("6.98"), MM("7.02"))
    assert keyway.reading == Limits(MM("28.1"), MM("28.05"), MM("28.15"))
    assert keyway.aim == MM("28.1")
    assert hub.bore == Limits.exactly(MM(25))


def test_the_keyway_must_leave_a_wall() -> None:
    # The floor lies 28.15 - 12.5 = 15.65 mm from the centre: an outside of 31.3 mm is all gone.
    own = HubQuestion(bore="25 mm", hub_length="17 mm", keyway_width="7 mm ±0.02", reading="28.1 mm ±0.05")

    assert read_hub_question(replace(own, hub_od="31.300001 mm"))[0].outside_diameter == MM("31.3") + Length(
        1
    )
    with pytest.raises(
        InputError, match=r"hub outside diameter 31.3 mm: a reading of 28.15 mm would cut through the wall"
    ):
        read_hub_question(replace(own, hub_od="31.3 mm"))


@pytest.mark.parametrize(
    ("field", "text", "says"),
    [
        ("bore", "25", "bore: read “25” without a unit"),
        ("bore", "", "bore: nothing was given"),
        ("hub_length", "-1 in", "hub length: read “-1 in”; it must be above zero"),
        ("hub_length", "1 in +0.1 -0.1", "hub length: read “1 in"),
        ("hub_od", "2", "hub outside diameter: read “2” without a unit"),
        ("hub_od", "1-3/8 in", "hub outside diameter 1.375 in: it must be more than the bore"),
        ("hardness", "28", "hardness: read “28”; write a number and its scale"),
        ("stack", "0", "stack: read “0”; write how many hubs are stacked, 1 to 100"),
        ("stack", "101", "1 to 100"),
        ("stack", "2.5", "1 to 100"),
        ("stack", "٣", "1 to 100"),
        ("bore_form", "round", "bore form: read “round”; write through, blind or tapered"),
        ("material", "cheese", "material: read “cheese”; there are: free-machining steel"),
        ("reading", "28", "reading: read “28” without a unit"),
        ("keyway_width", "7", "keyway width: read “7” without a unit"),
        ("aim", "28", "aim: read “28” without a unit"),
        ("aim", "2 in", "aim 2.0000 in .50.800 mm.: it must lie within the reading's limits"),
        ("key", "1/4", "key"),
        ("standard", "din", "standard: read “din”"),
        ("shape", "oval", "shape: read “oval”"),
        ("fit", "loose", "fit: read “loose”"),
    ],
)
def test_a_field_that_cannot_be_read_is_named_in_one_line(field: str, text: str, says: str) -> None:
    with pytest.raises(InputError, match=says) as raised:
        read_hub_question(replace(ASKED, **{field: text}))

    assert str(raised.value).isprintable()


@pytest.mark.parametrize(("text", "stack"), [("1", 1), (" 100 ", 100), ("07", 7)])
def test_a_stack_is_a_whole_number(text: str, stack: int) -> None:
    assert read_stack(text) == stack
