"""Entries as values: kept and read back, and taken back to what was before."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.crib.entries import (
    Change,
    Stamp,
    changes_between,
    day_held,
    held_on,
    inverse,
    moment,
    read,
    taken_back,
    written,
)

values = st.none() | st.integers(-(10**18), 10**18) | st.text(st.characters(exclude_categories=["Cs"]))
states = st.dictionaries(st.sampled_from(["home", "web", "note", "lent_to"]), values)


@given(states, states)
def test_changes_are_read_back_as_they_were_written(before: dict[str, int], after: dict[str, int]) -> None:
    changes = changes_between(before, after)

    assert read(written(changes)) == changes


@given(states, states)
def test_changes_taken_back_give_what_was_before(before: dict[str, int], after: dict[str, int]) -> None:
    changes = changes_between(before, after)
    back = taken_back({**before, **after}, changes)

    assert {name: back.get(name) for name in after} == {name: before.get(name) for name in after}


@given(states, states)
def test_the_inverse_of_the_inverse_is_the_change(before: dict[str, int], after: dict[str, int]) -> None:
    changes = changes_between(before, after)

    assert inverse(inverse(changes)) == changes


def test_a_change_that_does_not_lead_to_the_value_is_refused_by_its_name() -> None:
    with pytest.raises(ValueError, match=r"^web$"):
        taken_back({"web": 3}, [Change("web", 1, 2)])


def test_changes_are_kept_in_few_letters_and_as_they_are_typed() -> None:
    assert written([Change("note", None, "Größe"), Change("web", 1, 2)]) == (
        '{"note":[null,"Größe"],"web":[1,2]}'
    )


@pytest.mark.parametrize(
    "text", ["null", "[]", '{"a": 1}', '{"a": [1]}', '{"a": [true, 1]}', '{"a": [1, {}]}', "{"]
)
def test_text_that_holds_no_changes_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        read(text)


def test_a_moment_is_kept_in_universal_time_and_its_day_is_that_of_the_place() -> None:
    stamp = Stamp(datetime(2031, 5, 2, 23, 30, tzinfo=timezone(timedelta(hours=-4))))

    assert stamp.written == "2031-05-03T03:30:00Z"
    assert stamp.day.isoformat() == "2031-05-02"
    assert Stamp(datetime(2031, 5, 2, tzinfo=UTC)).written == "2031-05-02T00:00:00Z"


@given(st.datetimes(min_value=datetime(1900, 1, 2), max_value=datetime(2999, 1, 1)))
def test_a_moment_is_read_back_as_it_was_kept(at: datetime) -> None:
    stamp = Stamp(at.replace(tzinfo=UTC))

    assert moment(stamp.written) == stamp.at.replace(microsecond=0)


@given(st.dates())
def test_the_day_of_a_hold_is_read_back_from_its_name_and_other_names_hold_none(day: date) -> None:
    assert day_held(held_on(day)) == day
    assert day_held("home") is None
    with pytest.raises(ValueError, match=r"."):
        day_held("held for long")


@pytest.mark.parametrize(
    "text",
    [
        "",
        "2031-05-02",
        "2031-05-02T09:30:00",
        "2031-05-02T09:30Z",
        "2031-05-02T09:30+00:00",
        "2031-05-02T25:30:00Z",
    ],
)
def test_what_is_no_moment_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        moment(text)
