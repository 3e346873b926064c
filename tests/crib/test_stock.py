"""A piece as it was on an earlier day: what it is now with the entries since then taken back."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.crib.entries import Act, Change, Entry, Value, changes_between
from broachplan.crib.stock import as_of

START = datetime(2031, 5, 2, 9, 30, tzinfo=UTC)
acts = st.lists(
    st.tuples(
        st.integers(0, 40), st.dictionaries(st.sampled_from(["home", "note"]), st.sampled_from(["a", "b"]))
    ),
    max_size=8,
)


@given(acts, st.booleans())
def test_a_piece_is_shown_for_every_hour_as_it_was_then(
    done: list[tuple[int, dict[str, str]]], received: bool
) -> None:
    at, values = START, {"home": "", "note": ""}
    entries = [Entry(Act.RECEIVED, at)] if received else []
    was: dict[datetime, Mapping[str, Value]] = {at: dict(values)}
    for hours, shown in done:
        at += timedelta(hours=hours)
        entries.insert(0, Entry(Act.CHANGED, at, changes=changes_between(values, shown)))
        values |= shown
        was[at] = dict(values)

    for moment, then in was.items():
        assert as_of(values, entries, lambda at, moment=moment: at > moment) == then
    before = as_of(values, entries, lambda at: at >= START)
    assert before == (None if received else {"home": "", "note": ""})


def test_an_act_comes_before_the_next_even_where_a_clock_was_wrong() -> None:
    wrong = Entry(Act.CHANGED, START + timedelta(days=9), changes=(Change("home", "", "a"),))
    right = Entry(Act.CHANGED, START, changes=(Change("home", "a", "b"),))

    assert as_of({"home": "b"}, [right, wrong], lambda at: at > START) == {"home": "b"}
    assert as_of({"home": "b"}, [right, wrong], lambda at: at >= START) == {"home": ""}


def test_a_history_that_does_not_lead_to_the_piece_is_refused_by_what_does_not() -> None:
    with pytest.raises(ValueError, match=r"^home$"):
        as_of({"home": "c"}, [Entry(Act.CHANGED, START, changes=(Change("home", "a", "b"),))], lambda _: True)
