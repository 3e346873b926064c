"""What a broach cuts is booked, inspections and regrinds are kept, and all of it can be undone."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from broachplan import places
from broachplan.crib.records import Condition
from broachplan.crib.wear import Booking, Wear
from broachplan.desks.attendant.inspect_piece import Inspected
from broachplan.desks.machinist.plan_hub import plan_hub
from broachplan.errors import CribStateError, InputError
from broachplan.lengths import Length
from broachplan.planner.answer import Warn
from broachplan.questions.hub import PlanRequest
from broachplan.store.check import check
from tests.desks.doing import (
    book_cuts,
    change_setting,
    import_crib,
    inspect_piece,
    join_set,
    lend_piece,
    lend_set,
    regrind_piece,
    return_piece,
    return_set,
    undo_act,
)
from tests.desks.looking import list_due, show_piece

NOW = datetime(2031, 5, 2, 9, 30, tzinfo=UTC)
TODAY = date(2031, 5, 2)
TWELVE = Booking(4, 3, Length.inches(1))
HEIGHTS = {"first_tooth_height": "0.300 in", "last_tooth_height": "0.340 in"}


def wear_of(db: str, tag: str = "B-250") -> Wear:
    return show_piece(db, tag, TODAY).wear


def test_what_a_broach_cut_is_booked_at_its_return_and_the_return_is_an_inspection(filled: str) -> None:
    change_setting(filled, "regrind_cuts", "24")
    lend_piece(filled, "B-250", "Kim", at=NOW)

    back = return_piece(filled, "B-250", "fit", booking=TWELVE, at=NOW)

    assert back.due == ()
    assert wear_of(filled) == Wear().booked(TWELVE).inspected(TODAY)
    booked = book_cuts(filled, "B-250", TWELVE, at=NOW)
    assert booked.due == ("due for a regrind: 24 cuts and no regrind on record, the shop's limit is 24",)
    assert [worn.tag for worn in list_due(filled, TODAY).broaches if worn.due] == ["B-250"]
    assert check(filled) == ()
    undo_act(filled, at=NOW)
    undo_act(filled, at=NOW)
    assert wear_of(filled) == Wear()
    assert check(filled) == ()


def test_what_a_set_cut_is_booked_on_its_broach(filled: str) -> None:
    join_set(filled, "box Elm", ["B-250", "G-1000"], at=NOW)
    inspect_piece(filled, "G-1000", "fit", at=NOW)
    lend_set(filled, "box Elm", "Kim", at=NOW)

    return_set(filled, "box Elm", "fit", booking=TWELVE, at=NOW)

    assert wear_of(filled).cuts == 12
    assert wear_of(filled, "G-1000") == Wear(inspected_on=TODAY)


def test_cuts_of_what_is_no_broach_are_refused_and_it_stays_out(filled: str) -> None:
    inspect_piece(filled, "G-1000", "fit", at=NOW)
    lend_piece(filled, "G-1000", "Kim", at=NOW)

    with pytest.raises(InputError, match="cuts: G-1000 is a bushing; only a broach cuts"):
        return_piece(filled, "G-1000", "fit", booking=TWELVE, at=NOW)
    with pytest.raises(InputError, match="cuts: G-1000 is a bushing; only a broach cuts"):
        book_cuts(filled, "G-1000", TWELVE, at=NOW)
    assert show_piece(filled, "G-1000").off.startswith("lent to Kim")


def test_an_inspection_notes_the_condition_and_its_day(filled: str) -> None:
    assert inspect_piece(filled, "G-1000", "fit", note="slot deburred", at=NOW) == Inspected(
        "G-1000", Condition.WORN, Condition.FIT
    )

    shown = show_piece(filled, "G-1000", TODAY)
    assert (shown.state, shown.wear.inspected_on) == ("fit", TODAY)
    assert shown.history[0].entry.note == "slot deburred"
    undo_act(filled, at=NOW)
    assert show_piece(filled, "G-1000", TODAY).state == "worn"


def test_a_piece_that_is_out_is_neither_inspected_nor_reground(filled: str) -> None:
    lend_piece(filled, "B-250", "Kim", at=NOW)

    with pytest.raises(CribStateError, match="B-250 is lent to Kim since 2031-05-02; it is inspected when"):
        inspect_piece(filled, "B-250", "fit", at=NOW)
    with pytest.raises(CribStateError, match="B-250 is lent to Kim"):
        regrind_piece(filled, "B-250", HEIGHTS, at=NOW)


def test_a_regrind_keeps_the_measured_heights_and_shows_geometrys_beside_them(filled: str) -> None:
    book_cuts(filled, "B-250", TWELVE, at=NOW)
    before = show_piece(filled, "B-250", TODAY)
    first = before.record.piece.first_tooth_height  # type: ignore[attr-defined]
    last = before.record.piece.last_tooth_height  # type: ignore[attr-defined]
    message = {
        "first_tooth_height": f"{(first.nm - 9000) / 10**6} mm",
        "last_tooth_height": f"{(last.nm - 8000) / 10**6} mm",
        "measured_by": "Tom",
    }

    done = regrind_piece(filled, "B-250", message, ground_off="0.010 in", relief="2 deg", at=NOW)

    lowered = done.lowered
    assert (lowered.first, lowered.last, lowered.by_geometry) == (Length(9000), Length(8000), Length(8870))
    after = show_piece(filled, "B-250", TODAY)
    assert after.record.piece.first_tooth_height == Length(first.nm - 9000)  # type: ignore[attr-defined]
    assert (after.record.measured.on, after.record.measured.by) == (TODAY, "Tom")
    assert (after.wear.cuts, after.wear.since_regrind[0], after.wear.ground_on) == (12, 0, TODAY)
    assert check(filled) == ()
    undo_act(filled, at=NOW)
    assert show_piece(filled, "B-250", TODAY).record == before.record
    assert wear_of(filled) == before.wear


@pytest.mark.parametrize(
    ("message", "refused"),
    [
        ({"first_tooth_height": "0.3 in"}, "last tooth height: is missing; measure both heights"),
        (
            {**HEIGHTS, "first_tooth_height": "9 in", "last_tooth_height": "9.1 in"},
            "a regrind makes no tooth higher",
        ),
        ({**HEIGHTS, "tooth_pitch": "1 in"}, "tooth pitch: a regrind does not change it"),
        ({**HEIGHTS, "first_tooth_height": "0.3"}, "first tooth height: read “0.3” without a unit"),
    ],
)
def test_a_regrind_that_cannot_be_is_refused_and_changes_nothing(
    filled: str, message: dict[str, str], refused: str
) -> None:
    before = show_piece(filled, "B-250", TODAY)

    with pytest.raises(InputError, match=refused):
        regrind_piece(filled, "B-250", message, at=NOW)
    with pytest.raises(InputError, match="the check needs both"):
        regrind_piece(filled, "B-250", HEIGHTS, ground_off="0.010 in", at=NOW)
    with pytest.raises(InputError, match="regrind: G-1000 is a bushing; only a broach is reground"):
        regrind_piece(filled, "G-1000", HEIGHTS, at=NOW)

    assert show_piece(filled, "B-250", TODAY) == before


def test_a_plan_warns_of_a_broach_that_is_due_and_of_no_other(tmp_path: Path) -> None:
    db = str(tmp_path / "crib.db")
    import_crib(db, [places.seed_inventory()], at=NOW)
    hub = PlanRequest(bore="1 in", hub_length="1 in", key="1/4 in", material="mild steel")
    change_setting(db, "regrind_cuts", "12")
    change_setting(db, "inspect_days", "30")
    book_cuts(db, "BR-0250-A", TWELVE, at=NOW)
    inspect_piece(db, "BR-0250-A", "fit", at=NOW)
    inspect_piece(db, "BR-0250-B", "fit", at=NOW)

    def due(on: str) -> dict[str, list[str]]:
        plans = plan_hub(db, replace(hub, on=on)).plans
        return {
            one.broach.tag: [each.text for each in one.cautions if each.rule is Warn.DUE] for one in plans
        }

    regrind = "due for a regrind: 12 cuts and no regrind on record, the shop's limit is 12"
    inspection = "due for inspection: 30 days since 2031-05-02, the shop's limit is 30"
    # Without a day nothing is said of days: the same crib gives the same plan.
    assert due("") == {"BR-0250-A": [f"BR-0250-A is {regrind}"], "BR-0250-B": []}
    assert due("2031-06-01") == {
        "BR-0250-A": [f"BR-0250-A is {regrind}; {inspection}"],
        "BR-0250-B": [f"BR-0250-B is {inspection}"],
    }
