"""Holding pieces for work by the day, and what follows for plans, loans and undoing."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from broachplan.crib.holds import Hold
from broachplan.errors import CribStateError, InputError
from broachplan.store.check import check
from broachplan.store.shelf_read import read_shelf
from broachplan.store.work import reading
from broachplan.tooling.figures import Kind
from tests.desks.doing import (
    hold_piece,
    hold_set,
    join_set,
    lend_piece,
    release_piece,
    release_set,
    retire_piece,
    undo_act,
)
from tests.desks.looking import list_holds, show_piece

NOW = datetime(2031, 5, 2, 9, 30, tzinfo=UTC)
TODAY = date(2031, 5, 2)


def test_a_held_piece_is_out_of_plans_for_those_days_and_lent_for_its_work_only(filled: str) -> None:
    hold_piece(filled, "B-250", "J-7", "2031-05-02", until="2031-05-03", by="Kim", at=NOW)

    with reading(filled) as work:
        off = {day: read_shelf(work, on=date(2031, 5, day)).off for day in (2, 3, 4)}
    assert off[2]["B-250"] == "held on 2031-05-02 for J-7"
    assert off[3]["B-250"] == "held on 2031-05-03 for J-7"
    assert "B-250" not in off[4]
    with pytest.raises(CribStateError, match="B-250 is held on 2031-05-02 for J-7"):
        lend_piece(filled, "B-250", "Ann", job="J-8", at=NOW)
    lend_piece(filled, "B-250", "Ann", job="J-7", at=NOW)
    assert list_holds(filled, TODAY) == (Hold("B-250", Kind.BROACH, "J-7", TODAY, date(2031, 5, 3)),)
    assert check(filled) == ()


def test_a_day_is_held_for_one_work_and_held_again_for_it_changes_nothing(filled: str) -> None:
    hold_piece(filled, "B-250", "J-7", "2031-05-03", at=NOW)

    with pytest.raises(CribStateError, match="B-250 is held on 2031-05-03 for J-7"):
        hold_piece(filled, "B-250", "J-8", "2031-05-02", until="2031-05-04", at=NOW)
    again = hold_piece(filled, "B-250", "J-7", "2031-05-03", at=NOW)

    assert again.tags == ()
    assert len(show_piece(filled, "B-250").history) == 1


def test_a_release_lets_go_what_is_held_and_is_refused_where_nothing_is(filled: str) -> None:
    hold_piece(filled, "B-250", "J-7", "2031-05-02", until="2031-05-04", at=NOW)

    released = release_piece(filled, "B-250", "2031-05-03", until="2031-05-09", at=NOW)

    assert released.days == (date(2031, 5, 3), date(2031, 5, 4))
    assert [hold.last for hold in list_holds(filled, TODAY)] == [TODAY]
    with pytest.raises(CribStateError, match="B-250 is not held on 2031-05-03"):
        release_piece(filled, "B-250", "2031-05-03", at=NOW)


def test_holding_and_releasing_are_undone(filled: str) -> None:
    hold_piece(filled, "B-250", "J-7", "2031-05-02", until="2031-05-03", at=NOW)
    release_piece(filled, "B-250", "2031-05-03", at=NOW)

    undo_act(filled, at=NOW)
    assert [hold.last for hold in list_holds(filled, TODAY)] == [date(2031, 5, 3)]
    undo_act(filled, at=NOW)
    assert list_holds(filled, TODAY) == ()
    assert check(filled) == ()


def test_a_set_is_held_whole_or_not_at_all(filled: str) -> None:
    join_set(filled, "inch set", ["B-250", "G-1000"], at=NOW)
    hold_piece(filled, "G-1000", "J-8", "2031-05-02", anyway=True, at=NOW)

    with pytest.raises(CribStateError, match="G-1000 is held on 2031-05-02 for J-8"):
        hold_set(filled, "inch set", "J-7", "2031-05-02", at=NOW)
    assert len(list_holds(filled, TODAY)) == 1
    release_set(filled, "inch set", "2031-05-02", at=NOW)
    assert {*hold_set(filled, "inch set", "J-7", "2031-05-02", anyway=True, at=NOW).tags} >= {
        "B-250",
        "G-1000",
    }


def test_a_retired_piece_an_unknown_one_and_a_day_that_is_none_are_refused(filled: str) -> None:
    retire_piece(filled, "B-250", at=NOW)

    with pytest.raises(CribStateError, match="B-250 is retired"):
        hold_piece(filled, "B-250", "J-7", "2031-05-02", at=NOW)
    with pytest.raises(InputError, match="read “B-9”: no such tag"):
        hold_piece(filled, "B-9", "J-7", "2031-05-02", at=NOW)
    for day in ("", "2031-02-30", "tomorrow"):
        with pytest.raises(InputError, match=r"^day: "):
            hold_piece(filled, "G-1000", "J-7", day, at=NOW)
