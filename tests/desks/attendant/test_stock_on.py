"""Stock at the end of any past day is what a look into the crib would have shown on that day."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, date, datetime, timedelta, timezone

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import select

from broachplan.desks.attendant.stock_on import Stock
from broachplan.errors import BroachplanError, InputError, StorageError
from broachplan.store.check import check
from broachplan.store.tables import LOAN, PIECE
from broachplan.store.work import reading
from broachplan.tooling.figures import Kind
from tests.databases import database, execute
from tests.desks.doing import (
    add_piece,
    count_drawer,
    edit_piece,
    found_piece,
    lend_piece,
    retire_piece,
    return_piece,
    settle_count,
    undo_act,
)
from tests.desks.looking import list_counts, stock_on
from tests.ground import emptied

NOW = datetime(2031, 5, 2, 9, 30, tzinfo=UTC)
# Its day ends at five in the morning of universal time.
PLACE = timezone(timedelta(hours=-5))
TAGS = ("S-1", "B-250", "S-8", "S-9")
StockByTag = dict[str, tuple[str, str, bool, str | None, str | None]]
Do = Callable[[str, str, datetime], object]


def _settle(db: str, _: str, at: datetime) -> None:
    for head in list_counts(db).open[-1:]:
        settle_count(db, head.number, {}, rest="?", at=at, zone=PLACE)


DONE: dict[str, Do] = {
    "add": lambda db, tag, at: add_piece(db, Kind.SHIM, tag, {"home": "drawer 4"}, at=at),
    "lend": lambda db, tag, at: lend_piece(db, tag, "Kim", job="7", at=at),
    "lend again": lambda db, tag, at: lend_piece(db, tag, "Ann", due="2099-01-01", at=at),
    "return": lambda db, tag, at: return_piece(db, tag, "fit", at=at),
    "return worn": lambda db, tag, at: return_piece(db, tag, "worn", at=at),
    "move": lambda db, tag, at: edit_piece(db, tag, {"home": "A/1", "set": "box"}, at=at),
    "repair": lambda db, tag, at: edit_piece(db, tag, {"condition": "fit", "home": "drawer 4"}, at=at),
    "retire": lambda db, tag, at: retire_piece(db, tag, at=at),
    "count": lambda db, tag, at: count_drawer(db, "drawer 4", [tag], at=at),
    "settle": _settle,
    "find": lambda db, tag, at: found_piece(db, tag, at=at),
    "undo": lambda db, _, at: undo_act(db, at=at),
}
days = st.lists(
    st.tuples(st.integers(0, 30), st.sampled_from(sorted(DONE)), st.sampled_from(TAGS)), max_size=16
)


def snapshot(db: str) -> StockByTag:
    """What the rows say now."""
    loans = PIECE.outerjoin(LOAN, (LOAN.c.piece_id == PIECE.c.id) & LOAN.c.returned.is_(None))
    state = (PIECE.c.home, PIECE.c.condition, PIECE.c.retired, LOAN.c.to_name, PIECE.c.missing_since)
    with reading(db) as work:
        rows = work.connection.execute(select(PIECE.c.tag, *state).select_from(loans)).all()
    return {tag: (home, fit, bool(retired), to, missing) for tag, home, fit, retired, to, missing in rows}


def shown(stock: Stock) -> StockByTag:
    """A stock in the same form."""
    return {
        piece.tag: (
            piece.home,
            piece.status.condition.value,
            piece.status.retired,
            piece.status.loan.to if piece.status.loan else None,
            piece.status.missing_since.isoformat() if piece.status.missing_since else None,
        )
        for piece in stock.pieces
    }


def try_days(done: list[tuple[int, str, str]]) -> None:
    """Do it, looking after each act, and then ask for every day there was and those beside it."""
    with database("filled", emptied("days") / "crib.db") as db:
        at = NOW
        day = (at - timedelta(days=2)).astimezone(PLACE).date()
        seen: dict[date, StockByTag] = {day: snapshot(db)}
        for hours, act, tag in done:
            at += timedelta(hours=hours)
            with suppress(BroachplanError):
                DONE[act](db, tag, at)
            seen[at.astimezone(PLACE).date()] = snapshot(db)
        then = seen[day]
        while day <= max(seen):
            then = seen.get(day, then)
            assert shown(stock_on(db, day, at=at, zone=PLACE)) == then
            day += timedelta(days=1)
        assert check(db) == ()


@pytest.mark.usefixtures("either")
@settings(max_examples=6, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(days)
def test_the_stock_of_each_day_is_the_snapshot_taken_on_it(done: list[tuple[int, str, str]]) -> None:
    try_days(done)


@pytest.mark.nightly
@pytest.mark.usefixtures("either")
@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(days)
def test_the_stock_of_each_of_many_days_is_the_snapshot_taken_on_it(done: list[tuple[int, str, str]]) -> None:
    try_days(done)


def test_a_day_ends_by_the_clock_of_the_crib_s_place(filled: str) -> None:
    late = datetime(2031, 5, 3, 4, 59, 59, tzinfo=UTC)
    add_piece(filled, Kind.SHIM, "S-9", {"home": "B/1"}, at=late)
    lend_piece(filled, "S-9", "Kim", at=late + timedelta(seconds=1))

    def on(day: int, zone: timezone) -> list[str]:
        stock = stock_on(filled, date(2031, 5, day), text=" s-9", at=late + timedelta(days=1), zone=zone)
        return [piece.status.loan.to if piece.status.loan else "" for piece in stock.pieces]

    assert (on(2, PLACE), on(3, PLACE)) == ([""], ["Kim"])
    assert (on(2, UTC), on(3, UTC)) == ([], ["Kim"])


def test_the_stock_is_filtered_by_what_was_true_then_and_says_what_it_cannot_know(filled: str) -> None:
    edit_piece(filled, "B-250", {"home": "A/1"}, at=NOW)
    add_piece(filled, Kind.SHIM, "S-9", {}, at=NOW)
    retire_piece(filled, "S-1", at=NOW)
    before, today = (NOW - timedelta(days=1)).date(), NOW.date()

    then = stock_on(filled, before, text="drawer 4", at=NOW, zone=UTC)
    now = stock_on(filled, kind=Kind.SHIM, at=NOW, zone=UTC)

    assert ([piece.tag for piece in then.pieces], then.begins, then.older) == (["B-250"], today, 6)
    assert [piece.tag for piece in stock_on(filled, today, text="drawer 4", at=NOW, zone=UTC).pieces] == []
    assert ([piece.tag for piece in now.there], [piece.tag for piece in now.retired]) == (["S-9"], ["S-1"])
    with pytest.raises(
        InputError, match=r"^on: read 2031-05-03, a day in the future; write a day up to today, 2031-05-02$"
    ):
        stock_on(filled, date(2031, 5, 3), at=NOW, zone=UTC)


def test_a_crib_without_a_history_was_always_as_it_is(filled: str) -> None:
    stock = stock_on(filled, date(1, 1, 1))

    assert (len(stock.pieces), stock.begins, stock.older) == (6, None, 6)


def test_a_history_that_does_not_lead_to_the_crib_is_reported(filled: str) -> None:
    edit_piece(filled, "B-250", {"home": "A/1"}, at=NOW)
    execute(filled, "UPDATE piece SET home = 'elsewhere' WHERE tag = 'B-250'")

    with pytest.raises(StorageError, match=r"^the history of B-250 does not lead to its home as"):
        stock_on(filled, date(2031, 5, 1), at=NOW, zone=UTC)
