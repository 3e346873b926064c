"""The first and the last day that a calendar has, wherever a day can be typed."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone

import pytest

from broachplan.crib.holds import Hold
from broachplan.desks.machinist.plan_hub import plan_hub
from broachplan.errors import InputError
from broachplan.questions.hub import PlanRequest
from broachplan.store.check import check
from broachplan.tooling.figures import Kind
from tests.desks.doing import change_setting, edit_piece, hold_piece, lend_piece, release_piece, return_piece
from tests.desks.looking import list_due, list_holds, list_out, show_piece, stock_on

NOW = datetime(2031, 5, 2, 9, 30, tzinfo=UTC)
FIRST, LAST = "0001-01-01", "9999-12-31"


@pytest.mark.parametrize("hours", [-12, 0, 14])
def test_the_stock_of_the_first_day_is_nothing_and_the_last_is_to_come(filled: str, hours: int) -> None:
    zone = timezone(timedelta(hours=hours))
    lend_piece(filled, "B-250", "Kim", at=NOW)

    # Pieces that came in before the history began count as always there.
    assert stock_on(filled, date.min, at=NOW, zone=zone).on == date.min
    with pytest.raises(
        InputError, match=r"^on: read 9999-12-31, a day in the future; write a day up to today"
    ):
        stock_on(filled, date.max, at=NOW, zone=zone)


@pytest.mark.parametrize("day", [FIRST, LAST])
def test_a_piece_is_held_measured_and_planned_with_on_either_day(filled: str, day: str) -> None:
    hold_piece(filled, "B-250", "J-7", day, at=NOW)
    edit_piece(filled, "B-250", {"measured_on": day}, at=NOW)

    on = date.fromisoformat(day)
    assert list_holds(filled, on) == (Hold("B-250", Kind.BROACH, "J-7", on, on),)
    assert show_piece(filled, "B-250").record.measured.on == on
    why = plan_hub(filled, PlanRequest(bore="1 in", hub_length="1 in", on=day, why="B-250")).refusals
    assert f"held on {day} for J-7" in str(why)
    assert check(filled) == ()
    release_piece(filled, "B-250", day, at=NOW)


def test_a_hold_reaches_the_last_day_and_none_is_longer_than_the_calendar(filled: str) -> None:
    hold_piece(filled, "B-250", "J-7", "9999-12-30", until=LAST, at=NOW)

    assert [(hold.first, hold.last) for hold in list_holds(filled, date.min)] == [
        (date(9999, 12, 30), date.max)
    ]
    with pytest.raises(InputError, match="at most 60 days are held at once, from 0001-01-01"):
        hold_piece(filled, "B-250", "J-7", FIRST, until=LAST, at=NOW)


def test_a_loan_is_due_on_the_last_day_and_never_on_the_first(filled: str) -> None:
    change_setting(filled, "inspect_days", "30")
    with pytest.raises(InputError, match=r"^due: read 0001-01-01, which is before 2031-05-02"):
        lend_piece(filled, "B-250", "Kim", due=FIRST, at=NOW)

    lend_piece(filled, "B-250", "Kim", due=LAST, at=NOW)

    for asked in (date.min, date.max):
        assert [out.loan.due for out in list_out(filled, asked)] == [date.max]
        assert list_due(filled, asked).broaches
    return_piece(filled, "B-250", "fit", at=NOW)
    assert check(filled) == ()
