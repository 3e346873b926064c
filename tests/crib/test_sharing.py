"""Which works may use one piece on one day."""

from __future__ import annotations

from datetime import date

from broachplan.crib.sharing import NOTHING_SHARED, Sharing

DAY, NEXT = date(2031, 6, 2), date(2031, 6, 3)
ROW = {"J-2": "J-1", "J-3": "J-2"}


def test_works_that_follow_each_other_may_share_and_no_others() -> None:
    sharing = Sharing({"J-2": "job j-1"})

    assert sharing.joined(["J-1", "J-2"])
    assert sharing.may_use("j-2", "J-1")
    assert sharing.may_use("J-1", "job J-2")
    assert not sharing.joined(["J-1", "J-3"])
    assert not NOTHING_SHARED.joined(["J-1", "J-2"])
    assert NOTHING_SHARED.joined(["J-1", "job j-1"])


def test_two_that_do_not_follow_each_other_share_only_through_one_that_uses_the_piece_too() -> None:
    assert not Sharing(ROW).joined(["J-1", "J-3"])
    assert Sharing(ROW).joined(["J-3", "J-1", "J-2"])
    assert Sharing({"J-2": "J-1", "J-3": "J-1"}).joined(["J-3", "J-2", "J-1"])
    assert not Sharing({"J-2": "J-1", "J-3": "J-1"}).joined(["J-3", "J-2"])


def test_a_work_that_is_closed_joins_those_before_it_and_after_it() -> None:
    assert Sharing(ROW, closed=["J-2"]).joined(["J-1", "J-3"])
    assert Sharing({"J-2": "J-1", "J-3": "J-1"}, closed=["J-1"]).joined(["J-3", "J-2"])


def test_a_piece_is_asked_of_all_that_use_it_on_the_day() -> None:
    sharing = Sharing(ROW, uses=[("J-1", ["K", "G"], [DAY]), ("J-2", ["K"], [DAY, NEXT])])

    assert sharing.may_use("J-3", "J-1", "K", DAY)
    assert not sharing.may_use("J-3", "J-1", "G", DAY)
    assert sharing.may_use("J-3", "J-2", "K", NEXT)
    assert list(sharing.shared()) == [("K", DAY, ("J-1", "J-2"))]


def test_loosely_a_whole_queue_may_share() -> None:
    assert Sharing(ROW).loose().joined(["J-1", "J-3"])
    assert not Sharing(ROW).loose().joined(["J-1", "J-4"])
    assert Sharing(ROW).queue("job j-1") == {"j-1", "j-2", "j-3"}


def test_no_work_at_all_may_use_nothing_that_is_held() -> None:
    assert not Sharing(ROW).may_use("", "J-1")
