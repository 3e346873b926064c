"""The acts of a run in a crib: loans, wear and steps go together, and each leaves the crib true."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from broachplan.crib.entries import Act
from broachplan.crib.loans import Loan
from broachplan.crib.records import Condition, Record
from broachplan.crib.wear import Booking
from broachplan.errors import CribStateError, ExitCode, InputError
from broachplan.lengths import Length
from broachplan.runs.state import Cause, Status, Waits
from broachplan.runs.steps import RunAct
from broachplan.store.check import check
from broachplan.store.stored_pieces import stored_pieces
from broachplan.store.work import reading
from tests.databases import contents
from tests.desks.doing import edit_piece, lend_piece, return_piece
from tests.desks.looking import list_out, show_piece
from tests.desks.machinist.runs.press import (
    DAY,
    NOW,
    TOOLS,
    accepted,
    aside,
    begin,
    broken,
    corrected,
    crib,
    cuts_of,
    ended,
    first_hub,
    gauging,
    gone,
    look_at,
    measured,
    parked,
    pushed,
    read,
    replanned,
    resumed,
    runs_of,
    scrapped,
    stopped,
)
from tests.planner.setups import BASE, MM, shim

TOMORROW = NOW + timedelta(days=1)


def loans(db: str, tags: tuple[str, ...] = TOOLS) -> dict[str, Loan | None]:
    with reading(db) as work:
        return {stored.status.tag: stored.status.loan for stored in stored_pieces(work, tags)}


def status(db: str, tag: str) -> Any:
    with reading(db) as work:
        (stored,) = stored_pieces(work, [tag])
        return stored.status


def test_kim_parks_hub_3_jo_cuts_a_rush_job_with_the_same_broach_and_ann_goes_on_at_pass_3(db: str) -> None:
    begin(crib(db), hubs="4", job="J-701")
    first_hub(db)
    pushed(db, through="4")
    pushed(db, through="2")
    kept = parked(db, by="Kim")
    assert (kept.state.status, kept.state.why) == (Status.STOPPED, "parked")
    assert set(loans(db).values()) == {None}
    assert check(db) == ()

    begin(db, by="Jo", job="J-702")
    with pytest.raises(CribStateError, match=r"run 1: it stays stopped: .* is lent to Jo since 2031-05-02"):
        resumed(db, by="Ann")
    first_hub(db, "2")
    ended(db, "2", broach_condition="fit", by="Jo")

    kept = resumed(db, by="Ann", at=TOMORROW)
    later = TOMORROW.date()
    assert loans(db) == dict.fromkeys(TOOLS, Loan("Ann", later, later, "J-701"))
    due = kept.state.current
    assert due is not None
    assert (due.hubs, len(due.passes), kept.state.gauge_next) == ((3,), 2, True)
    pushed(db, through="4", by="Ann")
    read(db, "28.1 mm", by="Ann")
    pushed(db, through="4")
    read(db, "28.1 mm")
    kept = ended(db)

    assert kept.state.status is Status.DONE
    assert cuts_of(db) == 4 * 4 + 4
    assert check(db) == ()


def test_a_whole_run_ends_and_the_tools_stay_out_until_the_window_takes_them_back(db: str) -> None:
    begin(crib(db))
    first_hub(db)
    kept = ended(db)

    assert kept.state.waits is Waits.NOTHING
    assert loans(db) == dict.fromkeys(TOOLS, Loan("Kim", DAY, DAY))
    assert {out.tag: out.finished_with for out in list_out(db, DAY)} == dict.fromkeys(TOOLS, kept.stored.code)
    return_piece(db, "K", "fit", at=NOW)
    assert loans(db)["K"] is None
    assert "K" not in {out.tag for out in list_out(db, DAY)}
    assert [listed.status for listed in runs_of(db)] == [Status.DONE]
    assert runs_of(db, only_open=True) == ()


def test_with_a_condition_what_the_run_lent_is_back_at_once(db: str) -> None:
    lend_piece(crib(db), "G", "Kim", at=NOW)
    begin(db)
    first_hub(db)
    ended(db, broach_condition="worn")

    assert loans(db) == {tag: Loan("Kim", DAY) if tag == "G" else None for tag in TOOLS}
    assert (status(db, "K").condition, status(db, "a").condition) == (Condition.WORN, Condition.FIT)
    assert check(db) == ()


def test_a_broach_that_was_fetched_before_is_inspected_at_the_end_and_stays_out(db: str) -> None:
    lend_piece(crib(db), "K", "Kim", at=NOW)
    begin(db)
    first_hub(db)
    ended(db, broach_condition="unfit")

    assert (loans(db)["K"], status(db, "K").condition) == (Loan("Kim", DAY), Condition.UNFIT)


def test_a_run_is_not_ended_before_its_hubs_are_cut(db: str) -> None:
    begin(crib(db))
    before = contents(db)

    with pytest.raises(CribStateError, match="run 1: it cannot be ended; the run waits for pass 1 of hub 1"):
        ended(db)

    assert contents(db) == before


def test_given_up_it_keeps_what_was_cut_and_why(db: str) -> None:
    begin(crib(db), hubs="2")
    pushed(db)
    with pytest.raises(InputError, match="why: write why"):
        ended(db, abandon=True)
    kept = ended(db, abandon=True, why="drawing withdrawn")

    assert (kept.state.status, kept.state.why, cuts_of(db)) == (Status.ABANDONED, "drawing withdrawn", 1)
    assert check(db) == ()


def test_a_return_with_cuts_that_a_run_booked_is_refused_because_they_would_count_twice(db: str) -> None:
    begin(crib(db))
    pushed(db)
    ended(db, abandon=True, why="drawing withdrawn")

    with pytest.raises(CribStateError, match=r"run R1-\w+ has booked the cuts of K already, push by push"):
        return_piece(db, "K", "fit", booking=Booking(1, 1, Length.mm(17)), at=NOW)
    return_piece(db, "K", "fit", at=NOW)
    lend_piece(db, "K", "Kim", at=NOW)
    return_piece(db, "K", "fit", booking=Booking(1, 1, Length.mm(17)), at=NOW)

    assert cuts_of(db) == 2


def test_a_push_that_stopped_part_way_books_its_cut_and_stops_the_run(db: str) -> None:
    begin(crib(db))
    kept = pushed(db, part_way=True)

    assert (kept.state.why, cuts_of(db)) == ("part way", 1)
    with pytest.raises(CribStateError, match="it cannot be parked"):
        parked(db)
    resumed(db)
    assert check(db) == ()


def test_a_push_booked_and_never_made_gives_its_cut_back(db: str) -> None:
    begin(crib(db), hubs="2", stack="2")
    pushed(db)
    kept = corrected(db, 2, not_pushed=True)

    assert (kept.steps[0].act, cuts_of(db)) == (RunAct.NOT_PUSHED, 0)
    assert check(db) == ()


def test_a_wrong_shim_is_put_right_by_a_step_and_nothing_is_overwritten(db: str) -> None:
    begin(crib(db))
    pushed(db, through="2")
    kept = corrected(db, 3, shims="b", why="b was in")

    steps = look_at(db, "1").state.steps
    assert steps[2].shims == ("a",)
    assert (kept.steps[0].act, kept.steps[0].shims, kept.steps[0].corrects) == (RunAct.CORRECTED, ("b",), 3)
    assert check(db) == ()


def test_a_reading_is_put_right_with_name_and_reason(db: str) -> None:
    begin(crib(db))
    pushed(db, through="3")
    read(db, "27.3 mm", sure=True)

    with pytest.raises(InputError, match="by: write who"):
        corrected(db, 5, measured="27.2 mm", by="")
    kept = corrected(db, 5, measured="27.2 mm")

    assert (kept.steps[0].typed, kept.steps[0].t, kept.steps[0].why) == (
        "27.2 mm",
        MM("27.2"),
        "looked again",
    )
    assert check(db) == ()


def test_a_missing_shim_is_marked_so_its_loan_ends_and_others_do_its_work(db: str) -> None:
    begin(crib(db, Record(piece=shim("d", MM(1)))))
    pushed(db)
    kept = gone(db, "a", by="Kim")

    assert (kept.state.why, kept.code) == ("shim gone", ExitCode.DONE)
    assert (loans(db)["a"], status(db, "a").missing_since) == (None, DAY)
    assert "missing since 2031-05-02" in [each.words for each in show_piece(db, "a").history[0].differences]
    kept = resumed(db)
    assert kept.state.status is Status.RUNNING
    assert loans(db, ("d",))["d"] == Loan("Kim", DAY, DAY)
    assert check(db) == ()


def test_a_broken_broach_is_out_of_service_and_the_hub_continues_with_another_pair(db: str) -> None:
    begin(crib(db, Record(piece=BASE.but(broach={"tag": "L"}).broach)))
    pushed(db, through="3")
    read(db, "27.2 mm")
    kept = broken(db)

    assert kept.state.why == "broach broken"
    assert (loans(db)["K"], status(db, "K").condition) == (None, Condition.UNFIT)
    assert check(db) == ()
    kept = resumed(db)
    assert (kept.state.status, loans(db, ("L",))["L"]) == (Status.RUNNING, Loan("Kim", DAY, DAY))
    pushed(db)
    assert (cuts_of(db, "K"), cuts_of(db, "L")) == (3, 1)
    assert check(db) == ()


def test_a_figure_measured_again_in_mid_run_changes_the_crib_and_the_offset(db: str) -> None:
    begin(crib(db))
    pushed(db, through="3")
    read(db, "27.2 mm")
    kept = measured(db, "G", "web=12.01 mm", with_what="micrometer", by="Kim")

    step = kept.steps[0]
    assert (step.act, step.piece, step.pieces[0].piece.web) == (RunAct.MEASURED, "G", MM("12.01"))
    shown = show_piece(db, "G")
    assert (shown.record.piece.web, shown.record.measured.by, shown.record.measured.on) == (
        MM("12.01"),
        "Kim",
        DAY,
    )
    assert step.pieces[0].version == shown.version
    assert check(db) == ()


@pytest.mark.parametrize(
    ("figures", "message"),
    [
        (("web",), "figure: read “web”; write name=value"),
        ((), "figure: write at least one"),
        (("colour=red",), "a bushing has no such figure"),
        (("condition=worn",), "only figures and how well they were measured"),
        (("web=30 mm",), "web 30 mm: it must be less than the outside diameter"),
        (("web=thick",), "web: read “thick”"),
    ],
)
def test_a_figure_that_cannot_be_is_refused(db: str, figures: tuple[str, ...], message: str) -> None:
    begin(crib(db))
    before = contents(db)

    with pytest.raises(InputError, match=message):
        measured(db, "G", *figures)

    assert contents(db) == before


def test_a_figure_that_jumps_in_mid_run_needs_somebody_who_is_sure(db: str) -> None:
    # 0.010 in are 0.254 mm; from there on a figure is more often misread.
    begin(crib(db))
    before = contents(db)

    with pytest.raises(
        InputError, match=r"web: read 12\.255 mm; it was 12\.000 mm, and a figure that jumps .* \(--sure\)"
    ):
        measured(db, "G", "web=12.255 mm")
    assert contents(db) == before

    assert measured(db, "G", "web=12.254 mm").steps[0].pieces[0].piece.web == MM("12.254")
    assert measured(db, "G", "web=11.5 mm", sure=True).steps[0].pieces[0].piece.web == MM("11.5")
    assert check(db) == ()


def test_every_hub_is_gauged_from_now_on_where_somebody_asks_for_it(db: str) -> None:
    begin(crib(db), hubs="3")
    first_hub(db)

    kept = gauging(db, "every", by="Ann", step="7")

    assert [(step.act, step.typed, step.by) for step in kept.steps] == [(RunAct.GAUGING, "every", "Ann")]
    assert pushed(db, through="4").state.to_gauge == (2, (2,))
    assert (runs_of(db)[0].step, check(db)) == (12, ())


def test_a_reading_books_the_pushes_up_to_its_pass_with_it_or_nothing(db: str) -> None:
    begin(crib(db))
    before = contents(db)

    # 30 mm is deeper than all shims of the crib together can make it.
    with pytest.raises(InputError, match=r"measured: read 30\.000 mm, which cannot be"):
        read(db, "30 mm", through="3")
    with pytest.raises(InputError, match="hub 1 has 4 passes"):
        read(db, "27.2 mm", through="5")
    with pytest.raises(InputError, match="through: write it with what the gauge reads"):
        read(db, not_measured=True, through="3")
    assert contents(db) == before

    kept = read(db, "27.2 mm", through="3", step="1")
    assert [step.act for step in kept.steps] == [RunAct.PUSHED] * 3 + [RunAct.READ]
    assert cuts_of(db) == 3
    with pytest.raises(CribStateError, match="pass 3 of hub 1 is booked already"):
        read(db, "27.2 mm", through="3")
    with pytest.raises(CribStateError, match="not at step 1"):
        read(db, "28.1 mm", through="4", step="1")
    assert check(db) == ()


def test_a_hub_past_its_limit_is_kept_with_a_no_and_set_aside_or_scrapped_or_accepted(db: str) -> None:
    begin(crib(db, Record(piece=shim("d", MM("0.05")))), hubs="2")
    assert first_hub(db, "1", "27.2 mm", "28.16 mm").state.why == "disputed"
    kept = read(db, "28.16 mm", sure=True)
    assert (kept.code, kept.state.why) == (ExitCode.NO, "past")

    kept = aside(db, 1)
    assert (kept.code, kept.state.status) == (ExitCode.DONE, Status.RUNNING)
    kept = accepted(db, 1)
    assert kept.steps[0].by == "Jo"
    with pytest.raises(CribStateError, match="hub 1 is accepted already"):
        scrapped(db, 1)
    assert check(db) == ()


def test_a_doubtful_reading_is_kept_and_stops_the_run_until_it_is_said_to_be_sure(db: str) -> None:
    begin(crib(db))
    pushed(db, through="3")
    kept = read(db, "27.3 mm")

    assert (kept.code, kept.state.why) == (ExitCode.NO, "disputed")
    assert kept.answer is not None
    kept = read(db, "27.3 mm", sure=True)
    assert Cause.DISPUTED not in kept.state.causes
    assert check(db) == ()


def test_a_reading_that_cannot_be_is_refused_and_nothing_is_kept(db: str) -> None:
    begin(crib(db))
    pushed(db, through="3")
    before = contents(db)

    for typed, message in (
        ("24 mm", "a keyway floor reads more than the bore"),
        ("27.2", "without a unit"),
        ("", "write what the gauge reads"),
    ):
        with pytest.raises(InputError, match=message):
            read(db, typed)

    assert contents(db) == before


def test_a_reading_over_a_block_becomes_t(db: str) -> None:
    begin(crib(db))
    pushed(db, through="3")
    kept = read(db, "20.2 mm", way="block", block="7 mm", with_what="calliper 3")

    step = kept.steps[0]
    assert (step.typed, step.t, step.way, step.with_what) == ("20.2 mm", MM("27.2"), "block", "calliper 3")


def test_both_ends_are_two_steps_of_one_command(db: str) -> None:
    begin(crib(db))
    pushed(db, through="3")
    kept = read(db, top="27.2 mm", bottom="27.21 mm")

    assert [(step.end, step.t) for step in kept.steps[:2]] == [("top", MM("27.2")), ("bottom", MM("27.21"))]
    assert check(db) == ()


def test_the_other_plan_is_taken_and_the_first_one_again(db: str) -> None:
    begin(crib(db, Record(piece=shim("d", MM("0.88")))))
    pushed(db, through="3")
    kept = read(db, "27.22 mm", sure=True)
    due = kept.state.current
    assert due is not None
    first = due.to_do.stacks
    assert kept.other is not None
    assert kept.other.stacks != first

    kept = replanned(db)
    assert kept.state.current is not None
    assert kept.state.current.to_do == replace(due.to_do, stacks=kept.state.current.to_do.stacks)
    assert "d" in kept.state.current.to_do.stacks[0]
    assert kept.taken == ("d",)
    kept = replanned(db)
    assert kept.state.current is not None
    assert kept.state.current.to_do.stacks == first
    assert check(db) == ()


def test_another_step_since_the_one_that_was_seen_refuses_the_act_and_names_who(db: str) -> None:
    begin(crib(db))
    pushed(db, step="1", by="Ann")
    before = contents(db)

    with pytest.raises(
        CribStateError, match=r"run 1 is at step 2 \(pushed by Ann\), not at step 1; nothing was written"
    ):
        pushed(db, step="1", by="Kim")

    assert contents(db) == before


def test_resume_takes_all_tools_or_none(db: str) -> None:
    begin(crib(db))
    pushed(db)
    parked(db)
    lend_piece(db, "c", "Jo", at=NOW)
    before = contents(db)

    with pytest.raises(CribStateError, match="it stays stopped: c is lent to Jo since 2031-05-02"):
        resumed(db, by="Ann")
    assert contents(db) == before

    return_piece(db, "c", "unfit", at=NOW)
    with pytest.raises(CribStateError, match="it stays stopped: c is out of service"):
        resumed(db)
    assert set(loans(db).values()) == {None}


def test_a_figure_corrected_while_parked_moves_the_plain_readings(db: str) -> None:
    begin(crib(db))
    pushed(db, through="3")
    read(db, "27.2 mm")
    parked(db)
    edit_piece(db, "G", {"web": "12.005 mm"}, at=NOW)
    kept = resumed(db)

    assert {piece.tag: piece.piece for piece in kept.steps[0].pieces}["G"] == BASE.but(
        bushing={"web": MM("12.005")}
    ).bushing
    assert check(db) == ()


def test_while_parked_the_window_may_do_anything_with_its_tools(db: str) -> None:
    begin(crib(db))
    pushed(db)
    parked(db)

    lend_piece(db, "K", "Jo", at=NOW)
    return_piece(db, "K", "fit", booking=Booking(2, 3, Length.mm(17)), at=NOW)
    edit_piece(db, "a", {"thickness": "1.002 mm"}, at=NOW)

    assert cuts_of(db) == 7
    assert check(db) == ()


def test_stopped_for_now_the_tools_stay_out(db: str) -> None:
    begin(crib(db))
    kept = stopped(db)

    assert (kept.state.status, kept.state.why) == (Status.STOPPED, "end of the shift")
    assert loans(db)["K"] == Loan("Kim", DAY, DAY)
    assert resumed(db, by="Ann").state.status is Status.RUNNING
    assert loans(db)["K"] == Loan("Kim", DAY, DAY)


def test_what_a_step_did_to_a_piece_is_in_its_history_with_the_step(db: str) -> None:
    kept = begin(crib(db))
    pushed(db, by="Ann")
    parked(db)

    message = [(line.entry.act, line.entry.by, line.entry.note) for line in show_piece(db, "K").history]

    code = kept.stored.code
    assert message == [
        (Act.RETURNED, "", f"run {code}, step 3: parked"),
        (Act.BOOKED, "Ann", f"run {code}, step 2: pushed"),
        (Act.LENT, "Kim", f"run {code}, step 1: started"),
    ]
