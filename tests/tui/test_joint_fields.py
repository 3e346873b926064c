"""The lines of the joint's forms and how each is checked."""

from __future__ import annotations

from dataclasses import fields

import pytest

from broachplan.keyways.joint_words import Written as WrittenJoint
from broachplan.keyways.milling_card import Over
from broachplan.keyways.milling_words import Written as WrittenCard
from broachplan.keyways.strength_words import Written as WrittenStrength
from tui.joint_checks import reason_against
from tui.joint_fields import JOINT_FIELDS, MILL_FIELDS, STRENGTH_FIELDS

BY_NAME = {field.name: field for field in (*JOINT_FIELDS, *MILL_FIELDS, *STRENGTH_FIELDS)}
EMPTY = {field.name: "" for field in JOINT_FIELDS}


def names(written: type) -> set[str]:
    return {part.name for part in fields(written)}


def test_every_question_of_joint_card_and_strength_has_a_line() -> None:
    joint = {field.name for field in JOINT_FIELDS}

    assert joint == names(WrittenJoint)
    assert {field.name for field in MILL_FIELDS} == names(WrittenCard) - joint - {"number"}
    assert {field.name for field in STRENGTH_FIELDS} == (names(WrittenStrength) - joint - {"safety"}) | {
        "safety_factor",
        "straight",
    }


def test_no_two_lines_share_a_name() -> None:
    assert len(BY_NAME) == len(JOINT_FIELDS) + len(MILL_FIELDS) + len(STRENGTH_FIELDS)


def test_labels_leave_a_space_before_the_line() -> None:
    assert all(len(field.label) <= 13 for field in BY_NAME.values())


def test_a_reading_is_taken_over_what_the_card_knows() -> None:
    assert [value for value, _ in BY_NAME["measured_over"].choices] == list(Over)


@pytest.mark.parametrize(
    ("name", "right", "wrong", "reason"),
    [
        ("shaft", "1 in +0.001 -0", "1", "without a unit"),
        ("key", "808", "fat", "key"),
        ("hub_key", "14 x 9 mm", "x", "key"),
        ("length", "40 mm", "-3 in", "length: read"),
        ("finder", "0.2 in", "0.2", "finder: read"),
        ("cutter", "1/4 in", "quarter", "cutter: read"),
        ("from_end", "1 in", "9**9**9", "from: read"),
        ("step", "0.050 in", "0 in", "above zero"),
        ("depth_limits", "+0.000 -0.010", "0.010", "depth limits"),
        ("speed", "90 ft/min", "fast", "speed"),
        ("key_height", "0.25 in", "22,500 mm", "could be"),
        ("measured", "0.98 in", ".98", "measured: read"),
        ("straight", "50 mm", "50", "bears along: read"),
        ("torque", "80 N m", "80", "torque"),
        ("power", "10 hp", "10 horses", "power"),
        ("key_yield", "340 MPa", "340", "key yield"),
        ("shear_strength", "25 ksi", "hard", "shear strength"),
        ("bearing_strength", "50 ksi", "hard", "bearing strength"),
        ("shaft_yield", "50 ksi", "hard", "shaft yield"),
        ("hub_yield", "50 ksi", "hard", "hub yield"),
    ],
)
def test_a_line_takes_what_is_right_and_says_why_the_rest_is_wrong(
    name: str, right: str, wrong: str, reason: str
) -> None:
    assert reason_against(BY_NAME[name], right, EMPTY) == ""
    told = reason_against(BY_NAME[name], wrong, EMPTY)
    assert reason in told
    assert "\n" not in told
