"""Jobs added, changed and brought in from lists: all rows or none, and started work is never touched."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from broachplan.errors import CribStateError, InputError
from broachplan.jobs.job import JobState
from broachplan.store.check import check
from broachplan.store.exchange import ImportRefused
from broachplan.store.xlsx_file import as_book
from tests.desks.buyer.acting import NOW, add, bring_in, crib, drop, edit, listed, shown, start
from tests.desks.doing import undo_act
from tests.seed_inventory.toolroom import FOLDER

HEAD = "number,due,quantity,bore,hub_length,keyway_width,reading,note,days,priority,press,press_by,after"
HUB = "25 mm,17 mm,7 mm ±0.02,28.1 mm ±0.05"


def row(number: str, due: str = "2031-05-28", quantity: str = "2", rest: str = ",,,,,") -> str:
    return f"{number},{due},{quantity},{HUB},{rest}"


def listing(folder: Path, *rows: str, name: str = "jobs.csv", head: str = HEAD) -> Path:
    path = folder / name
    path.write_text("\n".join([head, *rows, ""]), encoding="utf-8")
    return path


def test_the_list_of_the_demo_comes_in_as_it_is_and_a_second_time_changes_nothing(db: str) -> None:
    seed = FOLDER / "jobs.csv"
    from tests.desks.doing import import_crib

    import_crib(db, [FOLDER / "presses.csv"])

    first, again = bring_in(db, seed), bring_in(db, seed)

    assert (len(first.added), first.changed, first.left) == (30, (), ())
    assert (again.added, again.changed, again.unchanged) == ((), (), 30)
    assert check(db) == ()


def test_an_import_adds_new_numbers_and_shows_old_and_new_of_those_that_differ(
    db: str, tmp_path: Path
) -> None:
    bring_in(crib(db), listing(tmp_path, row("J-1"), row("J-2")))

    done = bring_in(db, listing(tmp_path, row("j-1", quantity="5"), row("J-2"), row("J-3")))

    assert done.lines == (
        "1 added, 1 changed, 1 as before",
        "J-1: quantity 2 -> 5",
    )
    assert listed(db) == ["J-1", "J-2", "J-3"]
    undo_act(db, at=NOW)
    assert shown(db).listed.job.quantity == 2
    assert listed(db) == ["J-1", "J-2"]
    assert check(db) == ()


def test_a_column_that_a_list_lacks_stays_as_it_is(db: str, tmp_path: Path) -> None:
    add(crib(db), note="for the ferry", priority="2")

    head = "number,due,quantity,bore,hub_length"
    bring_in(db, listing(tmp_path, "J-1,2031-06-01,2,25 mm,17 mm", head=head))

    job = shown(db).listed.job
    assert (job.due.isoformat(), job.note, job.priority) == ("2031-06-01", "for the ferry", 2)


def test_an_import_never_touches_a_job_that_is_not_coming_and_says_which_rows_differ(
    db: str, tmp_path: Path
) -> None:
    for number in ("J-1", "J-2", "J-3"):
        add(crib(db) if number == "J-1" else db, number)
    start(db, "J-1")
    drop(db, "J-2")

    done = bring_in(db, listing(tmp_path, row("J-1", quantity="9"), row("J-2", quantity="9"), row("J-3")))

    assert done.lines == (
        "0 added, 0 changed, 2 left as they are, 1 as before",
        "J-1 is started and was left as it is; its row has quantity 2 -> 9",
        "J-2 is dropped and was left as it is; its row has quantity 2 -> 9",
    )
    assert shown(db, "J-1").listed.job.quantity == 2
    assert check(db) == ()


def test_every_wrong_cell_is_named_by_its_row_and_column_and_nothing_comes_in(
    db: str, tmp_path: Path
) -> None:
    crib(db)
    path = listing(
        tmp_path,
        row("J-1"),
        row("J-2", due="soon", quantity="0"),
        row("J-1"),
        row("J-4", rest=",61,10,PR-9,2031-05-29,J-99"),
        row("J-5", rest=",,,PR-9,,J-99"),
        "J-6,2031-05-28",
        row(""),
    )

    with pytest.raises(ImportRefused) as refused:
        bring_in(db, path)

    assert list(refused.value.lines) == [
        "jobs.csv, row 7: it has 2 cells; the header has 13",
        "jobs.csv, row 4, column number: read “J-1”, which jobs.csv, row 2 has too; each job has one row",
        "jobs.csv, row 3, column due: read “soon”; write a day such as 2031-05-28",
        "jobs.csv, row 3, column quantity: read “0”; write a whole number from 1 to 100,000",
        "jobs.csv, row 5, column days: read “61”; write a whole number from 1 to 60",
        "jobs.csv, row 5, column priority: read “10”; write a whole number from 1 to 9",
        "jobs.csv, row 8, column number: nothing was written; write the job's number, for example J-701",
        "jobs.csv, row 6, column press: read “PR-9”; write the tag of a press of the crib; there are: P",
        "jobs.csv, row 6, column after: read “J-99”; write the number of a job of the list",
    ]
    assert listed(db) == []


@pytest.mark.parametrize(
    ("head", "message"),
    [
        ("number,due,bore,hub_length", "jobs.csv, row 1: column quantity is missing"),
        (f"{HEAD},colour", "read “colour”, which is no column of jobs; there are: number, due"),
        (f"{HEAD},due", "column due is there twice"),
        (HEAD.replace(",", ";"), "the columns must be separated by commas"),
    ],
)
def test_a_header_that_is_wrong_is_refused(db: str, tmp_path: Path, head: str, message: str) -> None:
    with pytest.raises(ImportRefused, match=message):
        bring_in(db, listing(tmp_path, head=head))


def test_jobs_that_would_follow_each_other_in_a_ring_are_refused(db: str, tmp_path: Path) -> None:
    with pytest.raises(
        ImportRefused, match="row 2, column after: read “J-2”; 2 jobs would follow each other in a ring"
    ):
        bring_in(crib(db), listing(tmp_path, row("J-1", rest=",,,,,J-2"), row("J-2", rest=",,,,,J-1")))
    add(db, "J-1")
    add(db, "J-2", after="J-1")
    with pytest.raises(InputError, match="after: read “J-2”; 2 jobs would follow each other in a ring"):
        edit(db, "J-1", after="J-2")


def test_a_workbook_of_jobs_comes_in_like_a_csv_file(db: str, tmp_path: Path) -> None:
    rows = [HEAD.split(","), row("J-1").split(","), row("J-2").split(",")]
    path = tmp_path / "list.xlsx"
    path.write_bytes(as_book([("jobs", rows), ("remarks", [["nothing"]])]))

    assert bring_in(crib(db), path).added == ("J-1", "J-2")


def test_two_numbers_that_name_one_work_are_one_job(db: str) -> None:
    add(crib(db), "J-1")

    with pytest.raises(InputError, match=r"number: read “job j-1”; job J-1 has it \(coming\); write another"):
        add(db, "job j-1")


def test_an_edit_says_what_is_different_and_of_started_work_only_words_change(db: str) -> None:
    add(crib(db), note="x")

    assert edit(db, quantity="3", note="").lines == ("job J-1: quantity 2 -> 3; note “x” -> not given",)
    assert edit(db, quantity="3").lines == ("job J-1: it is so already",)
    start(db)
    edit(db, note="y", priority="1")
    with pytest.raises(CribStateError, match="set it back with --state coming before you change quantity"):
        edit(db, quantity="4")
    with pytest.raises(InputError, match="state: read “done”; write coming"):
        edit(db, state="done")
    with pytest.raises(InputError, match="nothing to change"):
        edit(db)
    assert shown(db).listed.job.state is JobState.STARTED


def test_the_list_is_by_priority_due_day_and_number_or_of_one_state(db: str) -> None:
    add(crib(db), "J-3")
    add(db, "J-2", due="2031-05-27")
    add(db, "J-1", priority="9")
    drop(db, "J-3")

    assert listed(db) == ["J-2", "J-3", "J-1"]
    assert listed(db, "coming") == ["J-2", "J-1"]
    with pytest.raises(InputError, match="state: read “ready”; write coming, started, done, dropped"):
        listed(db, "ready")


def test_a_job_that_another_follows_is_not_undone_away_under_it(db: str) -> None:
    add(crib(db), "J-1")
    add(db, "J-2", after="J-1")

    with pytest.raises(
        CribStateError,
        match=r"^act 1 cannot be undone any more; without it, job J-2 follows job J-1, which is not there$",
    ):
        undo_act(db, 1, at=NOW)
    edit(db, "J-1", quantity="7")
    # On a server an act that was refused has used up its number, so that the edit's is read from the refusal.
    changed = (
        r"^job J-1 was changed since, in act (\d+) by Ann: changed; quantity \d+ -> 7; undo act \1 first$"
    )
    with pytest.raises(CribStateError, match=changed) as refused:
        undo_act(db, 1, at=NOW)
    edited = re.match(changed, str(refused.value))
    assert edited is not None

    undo_act(db, 2, at=NOW)
    undo_act(db, int(edited[1]), at=NOW)
    undo_act(db, 1, at=NOW)
    assert listed(db) == []
    assert check(db) == ()
