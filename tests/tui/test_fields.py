"""The lines of the form and how each is checked."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields
from enum import StrEnum

import pytest

from broachplan.keyways.key import read_fit, read_shape, read_standard
from broachplan.keyways.keyway import Fit, Shape, Standard
from broachplan.planner.question import Question
from broachplan.tooling.hub import BoreForm
from tui.field_checks import CHECKS, reason_against
from tui.fields import FIELDS, Field

BY_NAME = {field.name: field for field in FIELDS}


def test_every_part_of_a_question_has_a_line_and_press_and_day_besides() -> None:
    assert {field.name for field in FIELDS} == {part.name for part in fields(Question)} | {"press", "on"}


def test_every_line_is_checked_or_a_choice() -> None:
    assert {field.name for field in FIELDS if not field.choices} == set(CHECKS)


@pytest.mark.parametrize(
    ("name", "read", "most"),
    [("standard", read_standard, Standard), ("shape", read_shape, Shape), ("fit", read_fit, Fit)],
)
def test_a_choice_offers_only_what_the_planner_reads(
    name: str, read: Callable[[str], str], most: type[StrEnum]
) -> None:
    offered = [value for value, _ in BY_NAME[name].choices if value]

    assert offered == [str(read(value)) for value in offered]
    assert set(offered) <= set(most)


def test_a_bore_goes_through_unless_another_form_is_chosen() -> None:
    assert {value for value, _ in BY_NAME["bore_form"].choices if value} == set(BoreForm) - {BoreForm.THROUGH}


@pytest.mark.parametrize(
    ("name", "right", "wrong", "reason"),
    [
        ("bore", "1 in +0.001 -0", "1", "without a unit"),
        ("hub_length", "40 mm", "-3 in", "above zero"),
        ("key", "14 mm x 9 mm", "fat", "key"),
        ("keyway_width", "8 mm ±0.018", "8 mm +0.018", "both deviations"),
        ("reading", "28.4 mm", "22,500 mm", "could be"),
        ("aim", "28.4 mm", "9**9**9", "aim"),
        ("hub_od", "2 in", "0 in", "above zero"),
        ("hardness", "28 HRC", "hard", "28 HRC or 200 HB"),
        ("material", "mild steel", "cheese", "there are"),
        ("stack", "3", "0", "1 to 100"),
        ("press", "PR-1", "a,b", "tag"),
        ("on", "2026-03-09", "9 March", "year-month-day"),
    ],
)
def test_a_line_takes_what_is_right_and_says_why_the_rest_is_wrong(
    name: str, right: str, wrong: str, reason: str
) -> None:
    assert reason_against(BY_NAME[name], right) == ""
    told = reason_against(BY_NAME[name], wrong)
    assert reason in told
    assert "\n" not in told


def test_an_empty_line_is_not_wrong() -> None:
    assert [reason_against(field, "") for field in FIELDS] == [""] * len(FIELDS)


def test_a_choice_shows_its_first_word_before_anything_is_loaded() -> None:
    assert Field("a", "A", choices=(("", "usual"), ("b", "other"))).at_first == "‹ usual ›"
    assert Field("a", "A", "(as 1 in)").at_first == "(as 1 in)"
