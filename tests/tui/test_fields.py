"""The lines of the form and how each is checked."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from enum import StrEnum

import pytest

from broachplan.keyways.key import read_fit, read_shape, read_standard
from broachplan.questions import kinds
from broachplan.questions.hub import AT_THE_PRESS, FORM_LINES, JOB_COLUMNS, HubQuestion, PlanRequest
from broachplan.questions.line import Line, as_typed, asked, lines_of
from broachplan.standards.named import Fit, Shape, Standard
from broachplan.tooling.hub import BoreForm

BY_NAME = {field.name: field for field in FORM_LINES}
FULL = PlanRequest(bore="1 in", hub_length="2 in", no_top_clearance=True, press="PR-1", on="2031-05-28")


def test_the_form_asks_everything_but_readings_and_how_much_of_the_answer_is_wanted() -> None:
    all_lines = {each.name for each in lines_of(PlanRequest)}

    assert set(BY_NAME) == all_lines - {"why", "plans"} - set(AT_THE_PRESS)


def test_what_a_form_holds_is_the_question_that_it_was_filled_with() -> None:
    assert asked(PlanRequest, as_typed(FULL)) == FULL
    assert asked(PlanRequest, as_typed(replace(FULL, no_top_clearance=False))).no_top_clearance is False


def test_a_list_of_jobs_has_a_column_for_each_text_of_the_hub_s_question_but_aim_and_measured_bore() -> None:
    texts = {each.name for each in lines_of(HubQuestion) if not each.kind.flag}

    assert set(JOB_COLUMNS) == texts - {"aim", "bore_is"}


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
        ("bore_is", "1.0004 in", "1.0004", "without a unit"),
        ("press", "PR-1", "a,b", "tag"),
        ("on", "2026-03-09", "9 March", "write a day such as"),
    ],
)
def test_a_line_takes_what_is_right_and_says_why_the_rest_is_wrong(
    name: str, right: str, wrong: str, reason: str
) -> None:
    assert BY_NAME[name].reason_against(right, {}) == ""
    shown = BY_NAME[name].reason_against(wrong, {})
    assert reason in shown
    assert "\n" not in shown


def test_an_empty_line_is_not_wrong() -> None:
    assert [field.reason_against("", {}) for field in FORM_LINES] == [""] * len(FORM_LINES)


def test_a_choice_shows_its_first_word_before_anything_is_loaded() -> None:
    assert Line("a", "A", kinds.FIT, "", choices=(("", "usual"), ("b", "other"))).at_first == "‹ usual ›"
    assert Line("a", "A", kinds.LENGTH, "", "(as 1 in)").at_first == "(as 1 in)"
