"""Holds as values: the days asked for, whose work it is, and days joined to one hold."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.crib.holds import MOST_DAYS, days_between, joined, same_work, why_not_hold
from broachplan.errors import InputError
from broachplan.tooling.figures import Kind

DAY = date(2031, 5, 2)


def test_days_are_those_from_the_first_to_the_last_with_both() -> None:
    assert days_between(DAY, None) == (DAY,)
    assert days_between(DAY, date(2031, 5, 4)) == (DAY, date(2031, 5, 3), date(2031, 5, 4))


def test_a_last_day_before_the_first_and_one_too_far_are_refused() -> None:
    with pytest.raises(InputError, match="until: read 2031-05-01, which is before 2031-05-02"):
        days_between(DAY, date(2031, 5, 1))
    assert len(days_between(DAY, DAY + timedelta(days=MOST_DAYS - 1))) == MOST_DAYS
    with pytest.raises(InputError, match="at most 60 days are held at once"):
        days_between(DAY, DAY + timedelta(days=MOST_DAYS))


@pytest.mark.parametrize(
    ("held_for", "asked", "same"),
    [
        ("J-701", " j-701 ", True),
        ("job 7031", "7031", True),
        ("7031", "Job 7031", True),
        ("7031", "7032", False),
        ("7031", "", False),
    ],
)
def test_a_hold_is_for_the_work_of_its_number_with_or_without_the_word_job(
    held_for: str, asked: str, same: bool
) -> None:
    assert same_work(held_for, asked) is same


def test_a_day_held_for_other_work_forbids_a_hold_and_one_for_the_same_does_not() -> None:
    held = {DAY: "J-1"}

    assert why_not_hold("B-1", held, (DAY,), "job J-1") == ""
    assert why_not_hold("B-1", held, (DAY + timedelta(days=1),), "J-2") == ""
    assert why_not_hold("B-1", held, (DAY + timedelta(days=1), DAY), "J-2").endswith("2031-05-02 for J-1")
    assert why_not_hold("B-1", held, (DAY,), "J-2") == "B-1 is held on 2031-05-02 for J-1"


@given(st.dictionaries(st.integers(0, 20).map(lambda n: DAY + timedelta(days=n)), st.sampled_from("ab")))
def test_days_joined_to_holds_are_the_same_days_in_the_fewest_holds(days: dict[date, str]) -> None:
    holds = joined(days, "B-1", Kind.BROACH)

    assert {day: hold.for_what for hold in holds for day in days_between(hold.first, hold.last)} == days
    assert {(hold.tag, hold.kind) for hold in holds} <= {("B-1", Kind.BROACH)}
    for before, after in pairwise(holds):
        assert before.last < after.first
        assert before.for_what != after.for_what or before.last + timedelta(days=1) < after.first
