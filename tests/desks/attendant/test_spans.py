"""A loan is a span of days, and so is a hold: where they meet, either side is asked before it is done."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from broachplan.crib.loans import Loan
from broachplan.crib.spans import DaysOut, days_of_loan
from broachplan.errors import AskedFirst, CribStateError
from broachplan.store.check import check
from tests.databases import contents
from tests.desks.doing import (
    change_setting,
    hold_piece,
    inspect_piece,
    lend_piece,
    lose_piece,
    receive_piece,
    send_piece,
)
from tests.desks.looking import list_holds, list_out

NOW = datetime(2031, 5, 2, 9, 30, tzinfo=UTC)
DAY = NOW.date()


def day(ahead: int) -> date:
    return DAY + timedelta(days=ahead)


def test_lending_over_a_day_that_is_held_for_other_work_says_so_and_needs_a_yes(filled: str) -> None:
    hold_piece(filled, "B-250", "J-710", str(day(3)), at=NOW)
    before = contents(filled)

    for due in ("+3", "+9"):
        with pytest.raises(AskedFirst, match=r"^B-250 is wanted 2031-05-05 for J-710: due back before\?$"):
            lend_piece(filled, "B-250", "Kim", due=due, at=NOW)
    assert contents(filled) == before

    lend_piece(filled, "B-250", "Kim", due="+9", anyway=True, at=NOW)
    assert [each.tag for each in list_out(filled, DAY)] == ["B-250"]
    assert [(hold.tag, hold.for_what) for hold in list_holds(filled, DAY)] == [("B-250", "J-710")]
    assert check(filled) == ()


def test_a_loan_that_ends_before_the_hold_or_is_for_its_work_asks_nothing(filled: str) -> None:
    for tag in ("B-250", "S-1", "R-1"):
        hold_piece(filled, tag, "J-710", str(day(3)), at=NOW)

    lend_piece(filled, "B-250", "Kim", due="+2", at=NOW)
    lend_piece(filled, "S-1", "Kim", due="+9", job="j-710", at=NOW)
    # Without a due day it is back today, where the shop has not said how long it lends.
    lend_piece(filled, "R-1", "Kim", at=NOW)

    assert len(list_out(filled, DAY).pieces) == 3


def test_a_loan_without_a_due_day_counts_to_the_shops_usual_length(filled: str) -> None:
    hold_piece(filled, "B-250", "J-710", str(day(3)), at=NOW)
    change_setting(filled, "loan_days", "3")
    with pytest.raises(AskedFirst, match="B-250 is wanted 2031-05-05 for J-710"):
        lend_piece(filled, "B-250", "Kim", at=NOW)

    change_setting(filled, "loan_days", "2")
    lend_piece(filled, "B-250", "Kim", at=NOW)

    assert list_out(filled, DAY).pieces[0].loan.due is None


def test_a_hold_over_a_loan_says_who_has_the_piece_until_when_and_needs_a_yes(filled: str) -> None:
    lend_piece(filled, "B-250", "Kim", due="+4", at=NOW)

    hold_piece(filled, "B-250", "J-709", str(day(5)), at=NOW)
    with pytest.raises(
        AskedFirst,
        match=r"^B-250 is lent to Kim since 2031-05-02, due 2031-05-06: back before 2031-05-06\?$",
    ):
        hold_piece(filled, "B-250", "J-710", str(day(4)), at=NOW)
    # What should have been back is out for nobody knows how long.
    with pytest.raises(AskedFirst, match=r"due 2031-05-06: back before 2031-06-01\?"):
        hold_piece(filled, "B-250", "J-710", "2031-06-01", at=NOW + timedelta(days=5))
    hold_piece(filled, "B-250", "J-710", str(day(4)), anyway=True, at=NOW)

    assert [hold.for_what for hold in list_holds(filled, DAY)] == ["J-710", "J-709"]


def test_a_hold_on_a_piece_that_is_not_fit_missing_or_sent_away_says_so_and_needs_a_yes(filled: str) -> None:
    inspect_piece(filled, "B-250", "worn", at=NOW)
    lose_piece(filled, "S-1", at=NOW)
    for tag, why in (("B-250", "B-250 is worn"), ("S-1", "S-1 is missing since 2031-05-02")):
        with pytest.raises(AskedFirst, match=rf"^{why}$"):
            hold_piece(filled, tag, "J-710", str(day(6)), at=NOW)
        hold_piece(filled, tag, "J-710", str(day(6)), anyway=True, at=NOW)
    with pytest.raises(AskedFirst, match="B-250 is wanted 2031-05-08 for J-710"):
        send_piece(filled, "B-250", "Northside", at=NOW)
    send_piece(filled, "B-250", "Northside", back="+5", at=NOW)
    # It is back by then, and put right.
    hold_piece(filled, "B-250", "J-711", str(day(7)), at=NOW)
    with pytest.raises(AskedFirst, match=r"B-250 is sent to Northside .*: back before 2031-05-07\?"):
        hold_piece(filled, "B-250", "J-712", str(day(5)), at=NOW)
    receive_piece(filled, "B-250", at=NOW)
    with pytest.raises(AskedFirst, match="B-250 is back, not yet inspected"):
        hold_piece(filled, "B-250", "J-712", str(day(5)), at=NOW)


def test_a_yes_does_not_take_what_somebody_else_has_or_holds(filled: str) -> None:
    lend_piece(filled, "B-250", "Kim", at=NOW)
    hold_piece(filled, "B-250", "J-710", str(day(3)), at=NOW)

    with pytest.raises(CribStateError, match="B-250 is lent to Kim"):
        lend_piece(filled, "B-250", "Ann", anyway=True, at=NOW)
    with pytest.raises(CribStateError, match="B-250 is held on 2031-05-05 for J-710"):
        hold_piece(filled, "B-250", "J-711", str(day(3)), anyway=True, at=NOW)


@pytest.mark.parametrize(
    ("loan", "length", "last"),
    [
        (Loan("Kim", day(-3), day(2)), 9, day(2)),
        (Loan("Kim", day(-3), day(0)), None, day(0)),
        (Loan("Kim", day(-3), day(-1)), 9, None),
        (Loan("Kim", day(-3)), None, day(0)),
        (Loan("Kim", day(-3)), 2, day(0)),
        (Loan("Kim", day(-3)), 5, day(2)),
        (Loan("Northside", day(-3), sent=True), 5, None),
    ],
)
def test_the_days_of_a_loan_are_what_was_agreed_else_what_is_usual(
    loan: Loan, length: int | None, last: date | None
) -> None:
    assert days_of_loan(loan, DAY, length) == DaysOut(day(-3), last)
