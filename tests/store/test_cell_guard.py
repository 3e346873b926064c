"""Text that a spreadsheet would change has an apostrophe before it, and loses it again on the way back."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from broachplan.store.cell_guard import guarded, misread, unguarded
from tests.store.cribs import spoken, tags
from tests.store.spreadsheet import made_of


@given(st.text() | spoken | tags)
@example("'")
@example("''=1")
def test_a_guarded_text_comes_back(text: str) -> None:
    assert unguarded(guarded(text)) == text


@given(spoken | tags)
@example("05-02")
@example("2031-05-02T10:00")
@example("10 p")
@example("１／１６")
@example("½")
def test_a_guarded_text_stays_what_it_is_in_a_spreadsheet(text: str) -> None:
    assert made_of(guarded(text)) == ""


@pytest.mark.parametrize(
    "text",
    ["", "A", "BR-250", "P-1", "E-1", "A 4", "10A", "drawer 4", "0.5 in", "30 mm", "30000 N", "9 mm^2", "1001", "0", "#4", '5/8"', "May", "MARK-2", "1-1/4 in"],
)  # fmt: skip
def test_text_that_stays_what_it_is_has_nothing_before_it(text: str) -> None:
    assert not misread(text)
    assert made_of(text) == ""


@pytest.mark.parametrize(
    ("text", "made"),
    [("=1", "formula"), ("\t=1", "formula"), ("1/16", "day"), ("MAR1", "day"), ("12:30", "day"), ("10 a", "day"), ("007", "number"), ("1E5", "number"), ("1 1/4", "number"), ("true", "truth"), ("#N/A", "error")],
)  # fmt: skip
def test_what_a_spreadsheet_makes_of_text_is_known(text: str, made: str) -> None:
    assert made_of(text) == made
    assert misread(text)
