"""A hub asked for in words, planned from a crib in a database: the same answer as from the pieces themselves."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from broachplan.crib.records import Condition, Measurement, Record
from broachplan.desks.machinist.plan_hub import plan_hub
from broachplan.errors import InputError, StorageError
from broachplan.lengths import Length
from broachplan.planner.answer import Rule, Warn
from broachplan.questions.hub import PlanRequest
from broachplan.store.shelf_read import read_shelf
from broachplan.store.work import reading
from broachplan.tooling.pieces import Bushing, Piece, Press
from tests.databases import contents
from tests.desks.doing import change_setting, lend_piece
from tests.planner.setups import BASE, MM, rules, words_of
from tests.store.cribs import fill

ASKED = PlanRequest(bore="25 mm +0 -0", hub_length="17 mm", keyway_width="7 mm ±0.02", reading="28.1 mm ±0.05", hub_od="60 mm")  # fmt: skip


def everything() -> list[Piece]:
    assert BASE.press is not None
    return [BASE.broach, BASE.bushing, *BASE.shims, BASE.press]


def crib(db: str, *more: Record, without: str = "") -> str:
    pieces = (piece for piece in everything() if piece.tag != without)
    fill(db, [*(Record(piece=piece, measured=BASE.how) for piece in pieces), *more])
    return db


def test_the_plan_from_the_database_is_the_plan_from_the_pieces(db: str) -> None:
    answer = plan_hub(crib(db), ASKED)

    (found,) = answer.plans
    (expected,) = BASE.but(hub={"material": None}).answer().plans
    assert (found.broach, found.bushing) == (BASE.broach, BASE.bushing)
    (named,) = plan_hub(db, replace(ASKED, press="P")).plans
    assert named.press == BASE.press
    assert found.passes == expected.passes
    assert (found.band, found.budget) == (expected.band, expected.budget)


def test_how_each_piece_was_measured_is_read_from_the_crib(db: str) -> None:
    how = Measurement("caliper", date(2031, 5, 2), "Kim", Length(1_234))
    crib(db, without="G")
    fill(db, [Record(piece=BASE.bushing, measured=how)])

    (found,) = plan_hub(db, ASKED).plans

    assert found.budget is not None
    sources = {term.tag: (term.to_nm, term.source) for term in found.budget.last.terms if term.tag}
    assert sources["G"] == (1_234, "as measured, kept with the piece")
    assert sources["K"][0] == 5_000
    with reading(db) as work:
        assert read_shelf(work).measured["G"] == how


def test_a_bore_that_was_measured_counts_for_the_play_and_must_lie_within_its_limits(db: str) -> None:
    asked = replace(ASKED, bore="25 mm +0.02 -0")
    (wide,) = plan_hub(crib(db), asked).plans

    (found,) = plan_hub(db, replace(asked, bore_is="25.005 mm")).plans

    assert wide.budget is not None
    assert found.budget is not None
    assert (wide.budget.last.gap, found.budget.last.gap) == ((0, 40_000), (0, 25_000))
    assert [one.reading for one in found.passes] == [one.reading for one in wide.passes]
    for text in ("25.021 mm", "24.999 mm", "0.98 in"):
        with pytest.raises(
            InputError, match=r"bore as measured .*: it must lie within the bore's limits, 25 mm to 25.02 mm"
        ):
            plan_hub(db, replace(asked, bore_is=text))
    with pytest.raises(InputError, match="the bore was given without limits, as 1 in: give its limits"):
        plan_hub(db, PlanRequest(bore="1 in", hub_length="1 in", bore_is="1.0001 in"))


def test_pieces_beyond_the_bounds_are_counted_though_not_planned_with(db: str) -> None:
    more = [Record(piece=Bushing(tag=f"X{i}", outside_diameter=MM(30 + i), slot_width=MM(7), web=MM(12))) for i in range(5)]  # fmt: skip

    answer = plan_hub(crib(db, *more), ASKED)

    assert [(refusal.rule, refusal.count) for refusal in answer.refusals] == [(Rule.BUSHING_FIT, 5)]
    assert [near.bushing for near in answer.refusals[0].nearest] == ["X0", "X1", "X2"]


def test_why_reads_the_whole_crib(db: Path) -> None:
    more = [Record(piece=Bushing(tag=f"X{i}", outside_diameter=MM(30 + i), slot_width=MM(7), web=MM(12))) for i in range(5)]  # fmt: skip
    crib(db, *more)

    assert len(plan_hub(db, replace(ASKED, why="all")).refusals[0].nearest) == 5
    assert [near.bushing for near in plan_hub(db, replace(ASKED, why="X4")).refusals[0].nearest] == ["X4"]
    with pytest.raises(InputError, match="why: read “nobody”"):
        plan_hub(db, replace(ASKED, why="nobody"))


def test_a_worn_piece_stays_off_the_plan(db: str) -> None:
    crib(db, Record(piece=BASE.bushing, condition=Condition.WORN), without="G")

    answer = plan_hub(db, ASKED)

    assert not answer.ready
    assert rules(answer) == [Rule.ON_SHELF]
    assert "worn" in words_of(answer, Rule.ON_SHELF)


def test_the_shops_settings_are_used_and_stamped_into_the_answer(db: str) -> None:
    crib(db)
    change_setting(db, "bushing_clearance", "0.01 mm")

    answer = plan_hub(db, ASKED)

    assert answer.settings.bushing_clearance == Length(10_000)
    assert rules(answer) == [Rule.BUSHING_FIT]


def test_a_press_is_named_by_its_tag(db: str) -> None:
    big = Press(tag="Q", rated_force=BASE.press.rated_force if BASE.press else None, opening=MM(400))
    crib(db, Record(piece=big))

    assert plan_hub(db, replace(ASKED, press="Q")).plans[0].press == big
    with pytest.raises(InputError, match="press: read “R”; the crib has: P, Q"):
        plan_hub(db, replace(ASKED, press="R"))


def test_an_empty_crib_is_set_up_and_says_that_it_is_empty(empty: str) -> None:
    answer = plan_hub(empty, ASKED)

    assert not answer.ready
    assert "the crib has no broaches yet" in answer.notes


def test_a_wrong_field_is_reported_before_the_crib_is_opened(tmp_path: Path) -> None:
    db = tmp_path / "never.db"

    with pytest.raises(InputError, match="hub length: read “17” without a unit"):
        plan_hub(str(db), PlanRequest(bore="25 mm", hub_length="17"))
    with pytest.raises(InputError, match="day: read “tomorrow”; write a day such as 2031-05-28"):
        plan_hub(str(db), replace(ASKED, on="tomorrow"))
    assert not db.exists()


def test_a_file_that_is_no_crib_is_reported_in_one_line(tmp_path: Path) -> None:
    file = tmp_path / "notes.txt"
    file.write_text("these are notes, not a crib\n" * 100)

    with pytest.raises(StorageError, match=r"notes\.txt") as raised:
        plan_hub(str(file), ASKED)

    assert str(raised.value).isprintable()


def test_a_plan_writes_nothing_into_the_crib(db: Path) -> None:
    crib(db)
    before = contents(db)

    plan_hub(db, ASKED)

    assert contents(db) == before


def test_a_plan_for_a_later_day_waits_for_what_is_due_back_before_it_and_names_it(db: str) -> None:
    lend_piece(crib(db), "K", "Kim", at=datetime(2031, 5, 2, 9, tzinfo=UTC), due="2031-05-06")

    on_the_day = plan_hub(db, replace(ASKED, on="2031-05-06"))
    day_after = plan_hub(db, replace(ASKED, on="2031-05-07"))

    assert rules(on_the_day) == [Rule.ON_SHELF]
    assert "lent to Kim since 2031-05-02, due 2031-05-06" in words_of(on_the_day, Rule.ON_SHELF)
    (found,) = day_after.plans
    assert [each.text for each in found.cautions if each.rule is Warn.DUE_BACK] == [
        "not there yet: K (back from Kim, due 2031-05-06); make sure of it before the day"
    ]
    assert rules(plan_hub(db, ASKED)) == [Rule.ON_SHELF]
