"""Which pieces are on the shelf on a later day, and what a plan for that day waits for."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.crib.ahead import PieceState, Snapshot, ahead
from broachplan.crib.loans import Asker, Loan
from broachplan.crib.sharing import Sharing
from broachplan.crib.shelf import Shelf

TODAY = date(2031, 5, 2)


def day(number: int) -> date:
    """So many days after today."""
    return TODAY + timedelta(days=number)


def lent(due: date | None, to: str = "Kim", job: str = "") -> PieceState:
    return PieceState(loan=Loan(to, day(-3), due, job))


def test_a_lent_piece_is_there_from_the_day_after_it_is_due_back_and_waited_for() -> None:
    state = lent(day(4))

    assert ahead(state, [day(4)]).off == "lent to Kim since 2031-04-29, due 2031-05-06"
    found = ahead(state, [day(5)], today=TODAY)
    assert found.off == ""
    assert found.awaited is not None
    assert (found.awaited.day, found.awaited.words) == (day(4), "back from Kim, due 2031-05-06")


def test_a_loan_that_is_overdue_or_has_no_due_day_is_not_counted_on() -> None:
    assert ahead(lent(day(-1)), [day(5)], today=TODAY).off
    assert ahead(lent(None), [day(5)], today=TODAY).off
    assert ahead(lent(TODAY), [day(1)], today=TODAY).awaited is not None


def test_without_a_day_that_it_is_asked_on_no_loan_is_overdue() -> None:
    assert ahead(lent(day(-1)), [day(5)]).awaited is not None


def test_without_a_day_of_the_work_what_is_lent_is_lent() -> None:
    assert ahead(lent(day(-1))).off == "lent to Kim since 2031-04-29"


def test_over_several_days_a_piece_must_be_there_on_each_of_them() -> None:
    three = [day(5), day(6), day(7)]

    assert ahead(lent(day(5)), three).off
    assert ahead(lent(day(4)), three).awaited is not None
    assert ahead(PieceState(held={day(7): "J-9"}), three).off == "held on 2031-05-09 for J-9"
    assert ahead(PieceState(held={day(8): "J-9"}), three).off == ""


def test_what_is_with_the_person_or_held_for_the_work_is_there_and_nothing_is_waited_for() -> None:
    kim, job = Asker("kim"), Asker(work="J-9")

    assert ahead(lent(day(9)), [day(5)], asker=kim) == ahead(PieceState())
    assert ahead(lent(day(9), job="J-9"), [day(5)], asker=job) == ahead(PieceState())
    assert ahead(PieceState(held={day(5): "job J-9"}), [day(5)], asker=job).off == ""
    assert ahead(PieceState(held={day(5): "J-8"}), [day(5)], asker=job).off != ""
    assert (
        ahead(
            PieceState(held={day(5): "J-8"}),
            [day(5)],
            asker=Asker(work="J-9", sharing=Sharing({"J-9": "J-8"})),
        ).off
        == ""
    )


def test_a_piece_on_order_is_there_from_the_day_after_it_is_expected() -> None:
    state = PieceState(ordered=day(3))

    assert ahead(state).off == "on order, expected 2031-05-05"
    assert ahead(state, [day(3)], today=TODAY).off == "on order, expected 2031-05-05"
    assert ahead(PieceState(ordered=day(-1)), [day(3)], today=TODAY).off
    found = ahead(state, [day(4)], today=TODAY)
    assert found.awaited is not None
    assert found.awaited.on_order


@pytest.mark.parametrize("state", [PieceState("worn"), PieceState(missing_since=day(-9))])
def test_a_piece_that_is_not_fit_or_missing_is_off_on_every_day(state: PieceState) -> None:
    assert ahead(state, [day(30)]).off


def test_a_snapshot_answers_for_any_days() -> None:
    snapshot = Snapshot(Shelf(), {"A": lent(day(4)), "B": PieceState(held={day(6): "J-9"})})

    assert set(snapshot.shelf_for([day(5)], today=TODAY).awaited) == {"A"}
    assert set(snapshot.shelf_for([day(4)], today=TODAY).off) == {"A"}
    assert set(snapshot.shelf_for([day(5), day(6)], today=TODAY).off) == {"B"}


@given(
    due=st.integers(-3, 12).map(day) | st.none(),
    first=st.integers(0, 8),
    span=st.integers(1, 4),
    today=st.integers(-2, 2).map(day) | st.none(),
    held=st.sets(st.integers(0, 12).map(day), max_size=3),
)
def test_there_on_every_day_of_some_days_is_there_on_each_of_them_alone(
    due: date | None, first: int, span: int, today: date | None, held: set[date]
) -> None:
    state = PieceState(loan=Loan("Kim", day(-5), due), held=dict.fromkeys(held, "J-9"))
    days = [day(first + number) for number in range(span)]

    each = [not ahead(state, [one], today=today).off for one in days]

    assert (not ahead(state, days, today=today).off) is all(each)
