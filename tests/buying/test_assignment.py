"""Who gets which piece on which day."""

from __future__ import annotations

from dataclasses import replace

from broachplan.buying.assignment import assign
from broachplan.buying.verdicts import Verdict
from broachplan.crib.ahead import PieceState
from tests.buying.shop import MONDAY, TUESDAY, assigned, holding, job, judge, stock


def test_one_set_of_pieces_serves_one_job_a_day() -> None:
    found = assigned(stock(), job("W-1"), job("W-2"))

    assert found.ready == ("W-1",)
    assert found.of("W-2").verdict is Verdict.CLASH
    assert found.of("W-2").clashes_with == ("W-1",)


def test_on_different_days_the_same_pieces_serve_both() -> None:
    assert assigned(stock(), job("W-1", MONDAY), job("W-2", TUESDAY)).ready == ("W-1", "W-2")


def test_of_two_that_clash_the_one_of_higher_priority_is_ready() -> None:
    assert assigned(stock(), job("W-1"), job("W-2", priority=1)).ready == ("W-2",)


def test_a_second_broach_and_bushing_do_not_cure_a_clash_over_the_same_three_shims() -> None:
    assert len(assigned(stock(2, 2, sets=1), job("W-1"), job("W-2")).ready) == 1
    assert len(assigned(stock(2, 2, sets=2), job("W-1"), job("W-2")).ready) == 2


def test_a_job_marked_to_follow_another_uses_its_pieces_on_the_same_day() -> None:
    found = assigned(stock(), job("W-1"), job("W-2", after="W-1"))

    assert found.ready == ("W-1", "W-2")
    assert found.of("W-1").pieces == found.of("W-2").pieces


def test_two_jobs_that_follow_the_same_one_all_use_its_pieces() -> None:
    jobs = job("W-1"), job("W-2", after="W-1"), job("W-3", after="W-1")

    assert assigned(stock(), *jobs).ready == ("W-1", "W-2", "W-3")


def test_a_mark_counts_only_on_days_that_both_are_at_the_press() -> None:
    jobs = job("W-1"), job("W-2", days=(MONDAY, TUESDAY), after="W-1"), job("W-3", TUESDAY)

    assert assigned(stock(), *jobs).ready == ("W-1", "W-2")


def test_most_jobs_come_before_the_first_job() -> None:
    long = job("W-1", priority=1, days=(MONDAY, TUESDAY))

    assert assigned(stock(), long, job("W-2", MONDAY), job("W-3", TUESDAY)).ready == ("W-2", "W-3")


def test_a_started_job_keeps_its_pieces_whatever_its_rank() -> None:
    held = frozenset({"K", "G", "a", "b", "c"})
    crib = stock(states={tag: PieceState(held={MONDAY: "W-9"}) for tag in held})

    found = assigned(crib, job("W-1", priority=1), job("W-9", priority=9, holds=held))

    assert found.of("W-9").verdict is Verdict.READY
    assert found.of("W-1").verdict is Verdict.BLOCKED


def test_jobs_alike_on_one_day_can_be_run_as_one() -> None:
    found = assigned(stock(), job("W-1"), job("W-2"), job("W-3", TUESDAY))

    assert found.of("W-1").alike == ("W-2",)
    assert found.of("W-3").alike == ()


def test_the_first_by_rank_takes_its_best_plan_only_where_the_later_one_still_has_one() -> None:
    crib = stock(2, 2, sets=2)
    only = replace(crib.shelf.bushings[1], tag="A", outside_diameter=crib.shelf.bushings[1].outside_diameter)
    crib = holding(crib, bushings=(only, crib.shelf.bushings[0]))
    # Both bushings serve both jobs on Monday, but W-2 stays until Tuesday, when A is held.
    held = replace(crib, states={"A": PieceState(held={TUESDAY: "W-9"})})

    found = assigned(held, job("W-1"), job("W-2", days=(MONDAY, TUESDAY)))

    assert "G" in found.of("W-2").pieces
    assert "A" in found.of("W-1").pieces


def test_presses_are_shared() -> None:
    found = assigned(stock(2, 2, 2), job("W-1", press="P"), job("W-2", press="P"))

    assert found.ready == ("W-1", "W-2")


def test_what_is_not_proven_is_never_called_so() -> None:
    jobs = job("W-1"), job("W-2")

    found = assign(jobs, judge(stock(2, 2, sets=1)), most_steps=0)

    assert not found.proven
    assert len(found.ready) == 1
