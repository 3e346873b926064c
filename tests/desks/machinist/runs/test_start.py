"""A run is started: planned again, kept with its whole question, its pieces lent to the worker, all or none."""

from __future__ import annotations

from datetime import date

import pytest

from broachplan.crib.loans import Loan
from broachplan.crib.records import Record
from broachplan.desks.machinist.runs.start import NotStarted, start_run
from broachplan.errors import CribStateError, InputError
from broachplan.questions.runs import RunStartRequest
from broachplan.runs.run import Order
from broachplan.runs.state import Status, Waits
from broachplan.runs.steps import ToDo
from broachplan.store.check import check
from broachplan.store.stored_pieces import stored_pieces
from broachplan.store.work import reading
from tests.databases import contents
from tests.desks.doing import hold_piece, lend_piece, return_piece
from tests.desks.looking import show_piece
from tests.desks.machinist.runs.press import DAY, HUB, NOW, TOOLS, begin, crib, look_at, runs_of
from tests.planner.setups import BASE, MM


def loans(db: str) -> dict[str, Loan | None]:
    with reading(db) as work:
        return {stored.status.tag: stored.status.loan for stored in stored_pieces(work, TOOLS)}


def test_a_run_lends_the_pieces_of_its_plan_for_its_work_until_the_evening(db: str) -> None:
    kept = begin(crib(db), job="J-701")

    assert loans(db) == dict.fromkeys(TOOLS, Loan("Kim", DAY, DAY, "J-701"))
    assert (kept.state.status, kept.state.waits) == (Status.RUNNING, Waits.PUSH)
    assert kept.state.new_hubs == ToDo("K", "G", None, ((), ("a",), ("a", "b"), ("c", "a", "b")))
    assert [line.entry.note for line in show_piece(db, "K").history] == [
        f"run {kept.stored.code}, step 1: started"
    ]
    assert check(db) == ()


def test_a_run_is_read_back_as_it_was_begun(db: str) -> None:
    asked = {"job": "J-701", "drawing": "WL-1081 issue B", "marks": "A,B,C,D", "read_each": "2"}
    kept = begin(crib(db), **asked, hubs="4", order="passes", material="steel", press="P")

    found = look_at(db, kept.stored.code)

    run = found.stored.run
    assert found.state == kept.state
    assert (run.job, run.drawing, run.marks) == ("J-701", "WL-1081 issue B", ("A", "B", "C", "D"))
    assert (run.quantity, run.read_each, run.order, run.press) == (4, 2, Order.PASSES, "P")
    assert {name: run.question[name] for name in HUB} == HUB
    assert {piece.tag: piece.piece for piece in found.stored.steps[0].pieces} == {
        piece.tag: piece for piece in (BASE.broach, BASE.bushing, *BASE.shims, BASE.press) if piece
    }
    assert [step.by for step in found.stored.steps] == ["Kim"]
    assert [listed.code for listed in runs_of(db, only_open=True)] == [kept.stored.code]


def test_a_machinist_who_fetched_his_broach_starts_his_own_run_with_it(db: str) -> None:
    lend_piece(crib(db), "K", "Kim", due="2031-05-09", at=NOW)

    kept = begin(db)

    assert loans(db)["K"] == Loan("Kim", DAY, date(2031, 5, 9))
    assert {piece.tag: piece.lent_by_run for piece in kept.steps[0].pieces if piece.tag != "P"} == {
        tag: tag != "K" for tag in TOOLS
    }
    assert check(db) == ()


def test_what_is_lent_for_the_same_work_counts_as_on_hand_whoever_has_it(db: str) -> None:
    lend_piece(crib(db), "G", "Jo", job="J-701", at=NOW)

    begin(db, job="job j-701")

    assert loans(db)["G"] == Loan("Jo", DAY, None, "J-701")


def test_pieces_that_others_have_stop_the_start_and_nothing_is_kept(db: str) -> None:
    lend_piece(crib(db), "K", "Jo", at=NOW)
    hold_piece(db, "b", "J-702", "2031-05-02", at=NOW)
    before = contents(db)

    with pytest.raises(
        CribStateError,
        match=r"there is a plan, K in G, and not all .*: K \(lent to Jo since 2031-05-02\), b \(held on 2031-05-02 for J-702\)",
    ):
        begin(db)

    assert contents(db) == before


def test_a_hold_for_the_same_work_does_not_bar_its_run_and_one_of_another_day_bars_none(db: str) -> None:
    hold_piece(crib(db), "b", "J-701", "2031-05-02", at=NOW)
    hold_piece(db, "c", "J-702", "2031-05-03", at=NOW)

    assert begin(db, job="J-701").state.status is Status.RUNNING


def test_without_a_plan_nothing_is_kept_and_the_answer_tells_why(db: str) -> None:
    before = contents(crib(db))
    request = RunStartRequest(**{**HUB, "reading": "30 mm ±0.05"}, by="Kim")

    answer = start_run(db, request, at=NOW)

    assert isinstance(answer, NotStarted)
    assert answer.answer.refusals
    assert contents(db) == before


def test_a_worn_piece_is_no_piece_that_is_only_lent(db: str) -> None:
    lend_piece(crib(db), "K", "Jo", at=NOW)
    return_piece(db, "K", "worn", at=NOW)

    assert isinstance(start_run(db, RunStartRequest(**HUB, by="Kim"), at=NOW), NotStarted)


def test_pieces_of_one_run_are_in_no_other_not_even_of_the_same_person(db: str) -> None:
    kept = begin(crib(db))
    before = contents(db)

    with pytest.raises(CribStateError, match=rf"K \(in use in run {kept.stored.code}\)"):
        begin(db)

    assert contents(db) == before


def test_a_pair_that_is_named_is_taken(db: str) -> None:
    other = Record(piece=BASE.but(bushing={"tag": "H", "web": MM("12.001")}).bushing)

    assert begin(crib(db, other), broach="K", bushing="H").state.new_hubs.bushing == "H"


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ({"broach": "K"}, "broach and bushing: name both, or neither"),
        (
            {"broach": "K", "bushing": "Z"},
            "bushing: read “Z”; name a bushing that the crib has and that fits",
        ),
        ({"hubs": "3", "stack": "2"}, "hubs: read 3; 2 are cut at once, so write a multiple of 2"),
        ({"hubs": "none"}, "hubs: read “none”"),
        ({"marks": "A,B"}, "marks: read 2; there are 1 hubs"),
        ({"order": "both"}, "order: read “both”"),
        ({"job": "J\x1b[2J"}, r"job: read .*U\+001B must not be in it"),
        ({"by": "x" * 101}, "by: read .*at most 100 characters"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_kept(db: str, typed: dict[str, str], message: str) -> None:
    before = contents(crib(db))

    with pytest.raises(InputError, match=message):
        begin(db, **typed)

    assert contents(db) == before


def test_without_a_name_the_run_itself_has_the_tools(db: str) -> None:
    kept = begin(crib(db), by="")

    assert loans(db)["K"] == Loan(f"run {kept.stored.code}", DAY, DAY)


def test_letters_of_another_run_name_no_run(db: str) -> None:
    begin(crib(db))

    for text, message in (
        ("R1-AAAA", "has the code R1-"),
        ("2", "no such run"),
        ("first", "write its number"),
    ):
        with pytest.raises(InputError, match=message):
            look_at(db, text)
