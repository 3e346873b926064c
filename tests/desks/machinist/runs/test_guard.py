"""While a run is open nobody returns, retires, changes, inspects or counts away its pieces behind it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from broachplan.crib.wear import Booking
from broachplan.errors import CribStateError
from broachplan.lengths import Length
from broachplan.store.check import check
from broachplan.tooling.figures import Kind
from tests.databases import contents
from tests.desks.doing import (
    add_piece,
    book_cuts,
    count_drawer,
    edit_piece,
    import_crib,
    inspect_piece,
    regrind_piece,
    retire_piece,
    return_piece,
    settle_count,
    undo_act,
)
from tests.desks.looking import list_actions
from tests.desks.machinist.runs.press import NOW, begin, crib, cuts_of, parked, pushed

IN_USE = r"K is in use in run R1-[A-Z2-7]{4} \(Kim\); end or park that run first"
CUTS = Booking(5, 1, Length(17_000_000))
HEIGHTS = {"first_tooth_height": "11.9 mm", "last_tooth_height": "13.1 mm"}
ACTS: dict[str, Callable[[str], object]] = {
    "return": lambda db: return_piece(db, "K", "fit", at=NOW),
    "retire": lambda db: retire_piece(db, "K", at=NOW),
    "inspect": lambda db: inspect_piece(db, "K", "worn", at=NOW),
    "edit a figure": lambda db: edit_piece(db, "K", {"root_height": "9.1 mm"}, at=NOW),
    "edit the condition": lambda db: edit_piece(db, "K", {"condition": "worn"}, at=NOW),
    "regrind": lambda db: regrind_piece(db, "K", HEIGHTS, at=NOW),
}


@pytest.mark.parametrize("act", ACTS)
def test_nobody_does_it_to_a_piece_of_an_open_run(db: str, act: str) -> None:
    begin(crib(db))
    before = contents(db)

    with pytest.raises(CribStateError, match=IN_USE):
        ACTS[act](db)

    assert contents(db) == before


def test_the_run_books_the_cuts_of_its_broach_and_nobody_else_does_before_it_is_parked(db: str) -> None:
    begin(crib(db))
    pushed(db)
    before = contents(db)

    with pytest.raises(
        CribStateError,
        match=r"K is in use in run R1-[A-Z2-7]{4} \(Kim\), which books its cuts push by push with `broachplan run pushed 1`",
    ):
        book_cuts(db, "K", CUTS, at=NOW)

    assert contents(db) == before
    parked(db)
    book_cuts(db, "K", CUTS, at=NOW)
    assert (cuts_of(db), check(db)) == (6, ())


def test_its_home_and_note_may_be_changed_all_the_same(db: str) -> None:
    begin(crib(db))

    edit_piece(db, "K", {"home": "bench 2", "note": "sharp"}, at=NOW)

    assert pushed(db).state.step == 2
    assert check(db) == ()


def test_a_press_serves_several_runs_and_its_figures_stay_while_one_is_open(db: str) -> None:
    begin(crib(db), material="steel", press="P")

    with pytest.raises(CribStateError, match="P is in use in run R1-"):
        edit_piece(db, "P", {"rated_force": "40 kN"}, at=NOW)


def test_a_press_that_served_a_run_is_not_undone_away_although_the_run_is_parked(db: str) -> None:
    add_piece(crib(db), Kind.PRESS, "P-9", {"rated_force": "30 kN"}, at=NOW)
    begin(db, material="steel", press="P-9")
    with pytest.raises(CribStateError, match="P-9 is in use in run R1-"):
        undo_act(db, 1, at=NOW)
    parked(db)

    with pytest.raises(CribStateError, match=r"^P-9 was used in run R1-[A-Z2-7]{4}; retire it instead$"):
        undo_act(db, 1, at=NOW)


def test_an_import_that_changes_a_figure_of_it_is_refused_whole(db: str, tmp_path: Path) -> None:
    begin(crib(db))
    file, before = tmp_path / "shims.csv", contents(db)
    file.write_text("tag,thickness,width\na,1.001 mm,7 mm\nnew,2 mm,7 mm\n")

    with pytest.raises(CribStateError, match=r"a is in use in run R1-"):
        import_crib(db, [file], at=NOW)
    assert contents(db) == before

    file.write_text("tag,thickness,width,home\na,1 mm,7 mm,C/1\nnew,2 mm,7 mm,\n")
    assert import_crib(db, [file], at=NOW).added == 1


def test_a_count_does_not_take_it_back(db: str) -> None:
    edit_piece(crib(db), "K", {"home": "A/1"}, at=NOW)
    begin(db)
    count_drawer(db, "A/1", ["K"], at=NOW)
    before = contents(db)

    with pytest.raises(CribStateError, match=IN_USE):
        settle_count(db, 1, {}, rest="put away", at=NOW)

    assert contents(db) == before


def test_an_act_of_a_run_is_not_undone_and_it_says_what_to_do(db: str) -> None:
    begin(crib(db))
    pushed(db)
    before = contents(db)

    with pytest.raises(
        CribStateError, match=r"step 2 of run R1-\w+ \(pushed\), and an act of a run is not undone here"
    ):
        undo_act(db, at=NOW)

    assert contents(db) == before


def test_the_start_of_a_run_is_not_put_right_so_undo_does_not_send_there(db: str) -> None:
    begin(crib(db))

    with pytest.raises(CribStateError, match=r"not undone here; `broachplan run end 1` ends the run$"):
        undo_act(db, at=NOW)


def test_an_act_on_one_of_its_pieces_is_not_undone_either(db: str) -> None:
    begin(crib(db))
    edit_piece(db, "K", {"home": "bench 2"}, at=NOW)

    with pytest.raises(CribStateError, match=IN_USE):
        undo_act(db, at=NOW)


def test_the_list_of_acts_tells_the_steps_of_a_run_in_their_place(db: str) -> None:
    kept = begin(crib(db))
    pushed(db, by="Ann")

    push, start = list_actions(db)[:2]

    assert (push.of_run, push.by, push.pieces) == (f"run {kept.stored.code}, step 2: pushed", "Ann", 1)
    assert (start.of_run, start.by, start.pieces) == (f"run {kept.stored.code}, step 1: started", "Kim", 5)


def test_each_push_books_its_hubs_once(db: str) -> None:
    begin(crib(db), hubs="4", stack="2")
    for cuts in (2, 4, 6):
        pushed(db)
        assert cuts_of(db) == cuts
    assert check(db) == ()
