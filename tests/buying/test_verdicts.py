"""Verdicts on coming jobs: each by itself, against the crib as it will be on its days."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from broachplan.buying.verdicts import Verdict
from broachplan.crib.ahead import PieceState
from broachplan.crib.records import Condition
from broachplan.lengths import Limits
from broachplan.planner.answer import Rule
from broachplan.planner.plan import plan
from broachplan.tooling.hub import BoreForm
from tests.buying.shop import MONDAY, TUESDAY, assigned, holding, job, judge, lent, stock
from tests.planner.setups import MM, SetUp

BACK = lent(due=MONDAY)


def test_a_job_with_all_its_pieces_there_is_ready() -> None:
    (one,) = assigned(stock(), job()).judged

    assert one.verdict is Verdict.READY
    assert one.pieces == {"K", "G", "a", "b", "c"}


def test_a_job_opened_gives_the_plan_that_the_planner_gives() -> None:
    set_up = SetUp()

    answer = judge(stock()).opened(job())

    assert answer.plans == plan(set_up.hub, set_up.keyway, set_up.shelf, set_up.settings).plans


def test_a_piece_lent_with_a_due_day_serves_from_the_day_after() -> None:
    crib = stock(states={"K": BACK})

    assert judge(crib).alone(job(day=MONDAY)).why is not None
    assert judge(crib).alone(job(day=TUESDAY)).possible


def test_a_piece_serves_a_job_only_if_it_is_there_on_every_day_of_it() -> None:
    crib = stock(states={"K": BACK})

    assert not judge(crib).alone(job(days=(MONDAY, TUESDAY))).possible


def test_a_piece_held_for_the_job_itself_or_for_the_one_it_follows_serves_it() -> None:
    crib = stock(states={"K": PieceState(held={MONDAY: "W-1"})})

    assert judge(crib).alone(job("W-1")).possible
    follower = job("W-2", after="W-1")
    assert judge(crib, follower).alone(follower).possible
    why = judge(crib).alone(job("W-2")).why
    assert why is not None
    assert why.rule is Rule.ON_SHELF
    assert "held on 2031-06-02 for W-1" in why.text


def test_a_press_held_for_other_work_keeps_a_job_from_that_day_alone() -> None:
    crib = stock(states={"P": PieceState(held={MONDAY: "service"})})

    assert not judge(crib).alone(job(day=MONDAY)).possible
    assert judge(crib).alone(job(day=TUESDAY)).possible


@pytest.mark.parametrize(
    ("rule", "numbers", "cure", "changes"),
    [
        (Rule.WIDTH, "cuts", "a broach that cuts", {"broach": {"keyway_width": MM("7.5"), "body_width": MM(7)}}),
        (Rule.BUSHING_FIT, "under a bore", "outside diameter", {"bushing": {"outside_diameter": MM(24)}}),
        (Rule.SLOT_FIT, "narrower", "a bushing with a slot of", {"bushing": {"slot_width": MM("6.9")}}),
        (Rule.ENGAGEMENT, "two pitches", "stack 2 hubs", {"broach": {"tooth_pitch": MM("8.6")}}),
        (Rule.OPENING, "needs an opening", "opens farther", {"press": {"opening": MM(200)}}),
        (Rule.READING, "the limits are", "another thickness", {"shims": SetUp().shims[:2]}),
        (Rule.NOT_MEASURED, "not measured", "measure", {"bushing": {"web": None}}),
    ],
)  # fmt: skip
def test_a_blocked_job_says_which_rule_fails_with_its_numbers_and_what_would_cure_it(
    rule: Rule, numbers: str, cure: str, changes: dict[str, object]
) -> None:
    why = judge(stock(**changes)).alone(job()).why

    assert why is not None
    assert why.rule is rule
    assert numbers in why.text
    assert cure in why.cure


def test_a_pair_that_only_the_press_refuses_is_nearer_than_one_that_does_not_fit() -> None:
    crib = stock(press={"opening": MM(200)})
    wide = replace(crib.shelf.bushings[0], tag="W", slot_width=MM("7.9"))

    why = judge(holding(crib, bushings=(wide, *crib.shelf.bushings))).alone(job()).why

    assert why is not None
    assert (why.rule, why.broach, why.bushing) == (Rule.OPENING, "K", "G")


def test_a_blind_hub_is_blocked_whatever_the_crib_has() -> None:
    why = judge(stock()).alone(job(hub=replace(SetUp().hub, bore_form=BoreForm.BLIND))).why

    assert why is not None
    assert why.rule is Rule.THROUGH


def test_a_press_named_that_the_crib_does_not_have_blocks_the_job() -> None:
    why = judge(stock()).alone(job(press="PR-GONE")).why

    assert why is not None
    assert "press PR-GONE is not in the crib" in why.text


def test_an_empty_crib_blocks_every_job_and_says_so() -> None:
    why = judge(holding(stock(), broaches=(), bushings=(), shims=())).alone(job()).why

    assert why is not None
    assert "the crib has no broach and no bushing" in why.text


def test_a_started_job_is_ready_while_the_pieces_it_holds_are_there() -> None:
    held = frozenset({"K", "G", "a"})
    there = {tag: PieceState(held={MONDAY: "W-1"}) for tag in held}

    assert judge(stock(states=there)).alone(job(holds=held)).possible
    gone = (
        judge(stock(states=there | {"K": PieceState(condition=Condition.UNFIT)})).alone(job(holds=held)).why
    )
    assert gone is not None
    assert "K: out of service" in gone.text


def test_a_verdict_asks_for_no_more_than_one_pair_that_will_do() -> None:
    crib = stock(broaches=3, bushings=3)
    room = judge(crib)

    assert room.alone(job()).possible

    assert len(room.serving(job()).fits) == 9
    assert len(room.serving(job())._known) == 1


def test_alike_jobs_are_judged_once() -> None:
    room = judge(stock(broaches=0))

    for day in range(5):
        assert not room.alone(job(f"W-{day}", MONDAY + timedelta(days=day))).possible

    assert len(room.serving(job())._any) == 1
    assert len(room._whys) == 1


def test_a_ready_job_names_what_it_waits_for() -> None:
    found = assigned(stock(states={"K": BACK}), job(day=TUESDAY))

    assert found.of("W-1").waits_for == ("K",)


def test_a_hub_of_another_bore_is_another_question() -> None:
    other = replace(SetUp().hub, bore=Limits.exactly(MM(30)))

    assert not judge(stock()).alone(job(hub=other)).possible
