"""The lines of the joint's forms and how each is checked."""

from __future__ import annotations

import pytest

from broachplan.keyways.milling_card import Over
from broachplan.questions.line import lines_of
from broachplan.questions.shaft import JointQuestion, KeyseatQuestion, StrengthQuestion
from tui.shaft_forms import JOINT_LINES, MILL_LINES, STRENGTH_LINES

BY_NAME = {field.name: field for field in (*JOINT_LINES, *MILL_LINES, *STRENGTH_LINES)}
EMPTY = {field.name: "" for field in JOINT_LINES}


def test_what_the_forms_ask_together_is_what_the_three_questions_hold() -> None:
    held = {
        each.name
        for question in (JointQuestion, KeyseatQuestion, StrengthQuestion)
        for each in lines_of(question)
    }

    # A key's number is written where the key is.
    assert set(BY_NAME) == held - {"number"}


def test_no_two_lines_share_a_name() -> None:
    assert len(BY_NAME) == len(JOINT_LINES) + len(MILL_LINES) + len(STRENGTH_LINES)


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
        ("finder", "0.5 in", "0.5", "finder: read"),
        ("cutter", "3/8 in", "quarter", "cutter: read"),
        ("from_end", "1-1/2 in", "9**9**9", "from: read"),
        ("step", "0.060 in", "0 in", "above zero"),
        ("depth_limits", "+0.000 -0.012", "0.012", "depth limits"),
        ("speed", "80 ft/min", "fast", "speed"),
        ("key_height", "0.25 in", "22,500 mm", "could be"),
        ("measured", "1.53 in", ".53", "measured: read"),
        ("straight", "50 mm", "50", "length: read"),
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
    assert BY_NAME[name].reason_against(right, EMPTY) == ""
    shown = BY_NAME[name].reason_against(wrong, EMPTY)
    assert reason in shown
    assert "\n" not in shown
