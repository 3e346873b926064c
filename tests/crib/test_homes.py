"""Homes as people write and read them: what drawer they lie in, and in what order they come."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.crib.homes import Drawer, Home, drawers_like, drawers_of

parts = st.text(st.sampled_from("aA1 20éß_-"), max_size=5)
typed = st.lists(parts, max_size=5).map("/".join)


@pytest.mark.parametrize(
    ("text", "drawer"),
    [
        ("A/1/01", "A/1"),
        (" a / 1 / 01 ", "a/1"),
        ("A/1", "A/1"),
        ("A/1/01/left", "A/1"),
        ("//A//1", "A/1"),
        ("bench 2", "bench 2"),
        ("", ""),
        (" / ", ""),
    ],
)
def test_a_drawer_is_the_first_two_parts_of_a_home(text: str, drawer: str) -> None:
    assert str(Home.read(text).drawer) == drawer
    assert bool(Home.read(text)) is bool(drawer)


def test_a_home_lies_in_its_drawer_in_any_case_and_in_no_other() -> None:
    drawer = Home.read("A/1")

    assert all(Home.read(home).is_in(drawer) for home in ("A/1/01", "a / 1 / 2", "A/1"))
    assert not any(Home.read(home).is_in(drawer) for home in ("A/10/01", "A", "B/1", "", "A 1/1"))
    assert Home.read("A/1/01").is_in(Home.read("a/1/07"))
    assert not Home.read("").is_in(Home.read(""))


def test_homes_are_in_the_order_in_which_people_read_them() -> None:
    homes = ["B/1", "A/10/01", "bench 10", "A/2/01", "a/2", "bench 2", "A/2/010", "A/2/9"]

    ordered = sorted(homes, key=lambda home: Home.read(home).order)

    assert ordered == ["a/2", "A/2/01", "A/2/9", "A/2/010", "A/10/01", "B/1", "bench 2", "bench 10"]


@given(typed, typed)
def test_any_two_homes_can_be_put_in_order_and_come_together_only_when_they_are_one(
    one: str, other: str
) -> None:
    first, second = Home.read(one), Home.read(other)

    assert sorted([first.order, second.order]) == sorted([second.order, first.order])
    assert (first.order == second.order) is (first.key == second.key)
    assert Home.read(str(first)) == first
    assert first.is_in(first.drawer) is bool(first)


def test_a_place_is_put_into_the_drawer() -> None:
    drawer = Home.read("A/1/01")

    assert str(drawer.at("03")) == "A/1/03"
    assert str(drawer.at(" ")) == "A/1"
    assert str(Home.read("bench 2").at("left")) == "bench 2/left"


def test_drawers_are_counted_once_each_and_a_piece_without_a_home_is_in_none() -> None:
    assert drawers_of(["A/10/1", "a/2/1", "", "A/2/2", "A/2", "bench 2"]) == (
        Drawer(Home(("a", "2")), 3),
        Drawer(Home(("A", "10")), 1),
        Drawer(Home(("bench 2",)), 1),
    )


def test_a_drawer_that_nothing_lives_in_is_answered_by_those_most_like_it() -> None:
    known = drawers_of(["A/1/1", "A/2/1", "A/10/1", "B/1/1", "bench 2"])

    assert list(drawers_like(Home.read("A/11"), known))[:2] == ["A/1", "A/10"]
    assert list(drawers_like(Home.read("A/left"), known)) == ["A/1", "A/2", "A/10"]
    assert list(drawers_like(Home.read("a"), known)) == ["A/1", "A/2", "A/10"]
    assert list(drawers_like(Home.read("bensh 2"), known)) == ["bench 2"]
    assert list(drawers_like(Home.read("zzz"), known)) == []
    # Half of the letters are enough: 3 of 4 and 3 of 7.
    assert list(drawers_like(Home.read("rank"), drawers_of(["bank 22"]))) == ["bank 22"]
    benches = drawers_of(f"bench {number}" for number in range(8))
    assert len(list(drawers_like(Home.read("bench 9"), benches))) == 3
    assert len(list(drawers_like(Home.read("bench 9"), benches, most=5))) == 5
