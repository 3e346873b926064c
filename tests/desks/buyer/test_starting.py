"""A job started holds the pieces of its plan on its days, all or none; what ends it frees them."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from broachplan.crib.entries import Act
from broachplan.desks.attendant.backup_data import backup_data
from broachplan.desks.buyer.start_job import JobNotStarted, StartedJob
from broachplan.desks.machinist.runs.pausing import end_run
from broachplan.desks.machinist.runs.start import start_run
from broachplan.errors import CribStateError, ExitCode, InputError
from broachplan.jobs.job import JobAct, JobState
from broachplan.questions.files import BackupRequest
from broachplan.questions.runs import RunEndRequest, RunStartRequest
from broachplan.store.check import check
from tests.desks.buyer.acting import DUE, NOW, add, crib, drop, edit, finish, listed, shown, start
from tests.desks.doing import hold_piece, lend_piece, release_piece, restore_data, return_piece, undo_act
from tests.desks.looking import list_holds, list_out, show_piece


def held(db: str) -> dict[str, tuple[str, date, date]]:
    """What is held for which work, from when to when."""
    return {each.tag: (each.for_what, each.first, each.last) for each in list_holds(db, NOW.date())}


def started(db: str, number: str = "J-1", **beside: str) -> StartedJob:
    found = start(db, number, **beside)
    assert isinstance(found, StartedJob)
    return found


def test_starting_holds_broach_bushing_and_shims_on_every_day_of_the_job(db: str) -> None:
    add(crib(db), days="3")

    job = started(db).job

    assert job.state is JobState.STARTED
    assert [day.isoformat() for day in job.held] == ["2031-05-26", "2031-05-27", "2031-05-28"]
    assert {"K", "G"} < set(job.pieces)
    assert held(db) == dict.fromkeys(job.pieces, ("J-1", job.held[0], job.held[-1]))
    assert shown(db).history[0].act is JobAct.STARTED
    assert [line.entry.act for line in show_piece(db, "K").history][:1] == [Act.HELD]
    assert check(db) == ()


@pytest.mark.parametrize("end", [finish, drop, lambda db: edit(db, state="coming")])
def test_what_a_job_holds_is_free_once_it_is_done_dropped_or_set_back(db: str, end) -> None:  # type: ignore[no-untyped-def]
    add(crib(db))
    started(db)

    end(db)

    assert held(db) == {}
    assert shown(db).listed.job.pieces == ()
    assert check(db) == ()


def test_a_piece_that_is_held_for_other_work_or_lent_on_one_of_the_days_leaves_everything_as_it_was(
    db: str,
) -> None:
    add(crib(db), days="2")
    hold_piece(db, "G", "J-9", "2031-05-28", at=NOW)

    with pytest.raises(
        CribStateError, match=r"not all of its pieces are there: G \(held on 2031-05-28 for J-9\)"
    ):
        start(db)

    release_piece(db, "G", "2031-05-28", at=NOW)
    lend_piece(db, "K", "Kim", at=NOW, due="2031-05-27")
    with pytest.raises(CribStateError, match=r"K \(lent to Kim since 2031-05-26, due 2031-05-27\)"):
        start(db)
    assert held(db) == {}
    assert shown(db).listed.job.state is JobState.COMING


def test_a_piece_due_back_before_the_first_day_is_held_and_waited_for(db: str) -> None:
    lend_piece(crib(db), "K", "Kim", at=NOW, due="2031-05-27")
    add(db)

    assert started(db).lines[-1].startswith("not there yet: K (back from Kim, due 2031-05-27)")


def test_a_loan_that_is_overdue_is_not_counted_on(db: str) -> None:
    lend_piece(crib(db), "K", "Kim", at=NOW - timedelta(days=5), due="2031-05-23")
    add(db)

    with pytest.raises(CribStateError, match=r"K \(lent to Kim"):
        start(db)


def test_a_job_without_a_plan_is_not_started_and_the_answer_says_why(db: str) -> None:
    add(crib(db), bore="40 mm", reading="43.3 mm ±0.05")

    found = start(db)

    assert isinstance(found, JobNotStarted)
    assert found.code is ExitCode.NO
    assert found.answer.refusals
    assert shown(db).listed.job.state is JobState.COMING


def test_a_job_whose_days_are_past_begins_on_the_day_it_is_started(db: str) -> None:
    add(crib(db), due="2031-05-20")

    found = started(db)

    assert found.late
    assert found.job.held == (NOW.date(),)
    assert (
        "late: its days at the press should have begun by now; the last was to be 2031-05-20" in found.lines
    )


def test_only_a_coming_job_is_started_and_only_a_plan_that_it_has(db: str) -> None:
    add(crib(db))

    with pytest.raises(InputError, match="plan: read “7”; the job has 1"):
        start(db, plan="7")
    started(db, plan="1")
    with pytest.raises(CribStateError, match=r"^job J-1 is started already$"):
        start(db)
    finish(db)
    with pytest.raises(CribStateError, match=r"^job J-1 is done; that is final$"):
        drop(db)


def test_of_two_jobs_that_want_one_broach_on_one_day_the_second_is_refused(db: str) -> None:
    add(crib(db), "J-1")
    add(db, "J-2")
    started(db, "J-1")

    with pytest.raises(CribStateError, match=r"K \(held on 2031-05-28 for J-1\)"):
        start(db, "J-2")


def test_a_job_marked_after_another_uses_its_pieces_on_the_same_days_and_gets_them_when_it_is_done(
    db: str,
) -> None:
    add(crib(db), "J-1")
    add(db, "J-2", after="J-1")
    first = started(db, "J-1").job

    second = started(db, "J-2").job

    assert second.pieces == first.pieces
    assert {each[0] for each in held(db).values()} == {"J-1"}
    finish(db, "J-1")
    assert {each[0] for each in held(db).values()} == {"J-2"}
    assert check(db) == ()
    finish(db, "J-2")
    assert held(db) == {}
    assert check(db) == ()


def test_the_job_that_goes_before_may_be_started_last(db: str) -> None:
    add(crib(db), "J-1")
    add(db, "J-2", after="J-1")
    started(db, "J-2")

    started(db, "J-1")

    assert check(db) == ()


def row_of_three(db: str) -> None:
    """J-3 follows J-2, which follows J-1; all three need the same pieces on one day."""
    add(crib(db), "J-1")
    add(db, "J-2", after="J-1")
    add(db, "J-3", after="J-2")


def test_a_third_job_in_a_row_shares_with_the_first_only_through_the_second(db: str) -> None:
    row_of_three(db)
    started(db, "J-1")

    with pytest.raises(CribStateError, match=r"K \(held on 2031-05-28 for J-1\)"):
        start(db, "J-3")

    started(db, "J-2")
    assert started(db, "J-3").job.pieces == started_pieces(db)
    assert check(db) == ()


def started_pieces(db: str) -> tuple[str, ...]:
    return shown(db, "J-1").listed.job.pieces


def test_a_job_that_joins_two_others_is_not_set_back_and_once_dropped_or_done_still_joins_them(
    db: str,
) -> None:
    row_of_three(db)
    for number in ("J-1", "J-2", "J-3"):
        started(db, number)
    refused = "jobs J-1 and J-3 would both use .* on 2031-05-28, and neither would follow the other"

    with pytest.raises(CribStateError, match=refused):
        edit(db, "J-2", state="coming")

    assert shown(db, "J-2").listed.job.state is JobState.STARTED
    drop(db, "J-2")
    assert check(db) == ()
    undo_act(db, at=NOW)
    finish(db, "J-2")
    assert check(db) == ()
    finish(db, "J-1")
    assert {each[0] for each in held(db).values()} == {"J-3"}
    assert check(db) == ()


def test_a_hold_of_a_started_job_is_not_released_by_hand(db: str) -> None:
    add(crib(db))
    started(db)

    with pytest.raises(
        CribStateError, match="K is held for job J-1, which is started; finish or drop that job"
    ):
        release_piece(db, "K", DUE, at=NOW)


def test_every_act_on_a_job_is_undone_step_by_step_until_it_was_never_there(db: str) -> None:
    add(crib(db))
    started(db)
    edit(db, state="coming", quantity="3")
    started(db)
    finish(db)

    for state in (JobState.STARTED, JobState.COMING, JobState.STARTED, JobState.COMING):
        undo_act(db, at=NOW)
        assert shown(db).listed.job.state is state
        assert bool(held(db)) is (state is JobState.STARTED)
        assert check(db) == ()
    (undone,) = undo_act(db, at=NOW)

    assert (undone.tag, undone.entry.act) == ("job J-1", JobAct.ADDED)
    assert listed(db) == []
    assert check(db) == ()
    add(db)
    assert check(db) == ()


def test_a_run_of_a_job_takes_its_question_and_quantity_and_its_loans_are_due_on_its_last_day(
    db: str,
) -> None:
    add(crib(db), drawing="WL-1081, issue B")
    pieces = set(started(db).job.pieces)

    kept = start_run(db, RunStartRequest(job="job j-1", by="Kim"), at=NOW)

    run = kept.stored.run  # type: ignore[union-attr]
    assert (run.quantity, run.job, run.drawing, run.question["bore"]) == (
        2,
        "J-1",
        "WL-1081, issue B",
        "25 mm",
    )
    out = {each.tag: each.loan for each in list_out(db, NOW.date())}
    assert set(out) == pieces
    assert {(loan.job, loan.due) for loan in out.values()} == {("J-1", date(2031, 5, 28))}
    assert check(db) == ()


def test_while_a_run_of_it_is_open_a_job_is_not_set_back_finished_or_dropped(db: str) -> None:
    add(crib(db))
    started(db)
    start_run(db, RunStartRequest(job="J-1", by="Kim"), at=NOW)

    for act in (finish, drop, lambda db: edit(db, state="coming")):
        with pytest.raises(CribStateError, match=r"^run R1-\w{4} of job J-1 is open; end that run first$"):
            act(db)

    end_run(db, RunEndRequest(run="1", abandon=True, why="rush job", broach_condition="fit"), at=NOW)
    finish(db)
    assert check(db) == ()


def test_a_run_of_a_job_that_follows_another_uses_what_is_held_for_that(db: str) -> None:
    add(crib(db), "J-1", due="2031-05-26")
    add(db, "J-2", due="2031-05-26", after="J-1")
    started(db, "J-1")

    assert start_run(db, RunStartRequest(job="J-2", by="Jo"), at=NOW).code is ExitCode.DONE
    assert check(db) == ()


def test_a_run_of_a_job_plans_with_what_the_job_holds_alone(db: str) -> None:
    add(crib(db))
    pieces = set(started(db).job.pieces)

    kept = start_run(db, RunStartRequest(job="J-1"), at=NOW)

    taken = {tag for tag in kept.state.pieces if tag != "P"}  # type: ignore[union-attr]
    assert taken == pieces


def test_beside_a_hub_the_job_of_a_run_is_words(db: str) -> None:
    crib(db)
    hub = {"bore": "25 mm", "hub_length": "17 mm", "keyway_width": "7 mm ±0.02", "reading": "28.1 mm ±0.05"}

    start_run(db, RunStartRequest(**hub, job="for the ferry", by="Kim"), at=NOW)

    assert {each.loan.due for each in list_out(db, NOW.date())} == {NOW.date()}


def test_a_job_that_is_there_no_more_has_no_run(db: str) -> None:
    add(crib(db))
    drop(db)

    with pytest.raises(
        CribStateError, match="job J-1 is dropped; a run is started of a job that is coming or started"
    ):
        start_run(db, RunStartRequest(job="J-1"), at=NOW)
    with pytest.raises(InputError, match="number: read “J-2”: no such job; the nearest: J-1"):
        start_run(db, RunStartRequest(job="J-2"), at=NOW)


def test_a_backup_brings_back_the_jobs_and_what_they_hold(db: str, tmp_path: Path) -> None:
    add(crib(db))
    job = started(db).job
    backup_data(db, BackupRequest(file=str(tmp_path / "kept.backup")), on=NOW.date())
    drop(db)

    restore_data(db, tmp_path / "kept.backup", NOW.date())

    assert shown(db).listed.job == job
    assert held(db) == dict.fromkeys(job.pieces, ("J-1", job.held[0], job.held[-1]))
    assert check(db) == ()


def test_a_returned_piece_of_a_started_job_stays_held_for_it(db: str) -> None:
    add(crib(db))
    started(db)
    lend_piece(db, "K", "Kim", at=NOW, job="J-1")
    return_piece(db, "K", "fit", at=NOW)

    assert held(db)["K"][0] == "J-1"
    assert check(db) == ()
