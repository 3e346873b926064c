"""``broachplan jobs``: exit codes, what is printed, and JSON for other programs."""

from __future__ import annotations

import pytest

from broachplan.errors import ExitCode
from tests.cli.conftest import Run
from tests.cli.validity import valid
from tests.desks.doing import import_crib
from tests.seed_inventory.toolroom import FOLDER

HUB = ("--bore", "1 in +0.001 -0", "--hub-length", "1-1/8 in", "--key", "1/4 in")
LATER = ("--due", "2040-05-28", "--quantity", "4")


@pytest.fixture
def crib(tmp_path: object, monkeypatch: pytest.MonkeyPatch) -> str:
    """The demo toolroom."""
    db = f"{tmp_path}/toolroom.db"
    import_crib(db, [FOLDER])
    monkeypatch.setenv("BROACHPLAN_DB", db)
    return db


def test_the_demos_jobs_from_import_to_finish(run_here: Run, crib: str) -> None:
    def said(*words: str, code: int = ExitCode.DONE) -> str:
        ran = run_here(*words, "--db", crib)
        assert ran.returncode == code, ran
        return ran.stdout or ran.stderr

    assert said("jobs", "import", str(FOLDER / "jobs.csv")) == "30 added, 0 changed, 0 as before\n"
    listed = valid(said("jobs", "list", "--json"), "jobs")
    assert [job["number"] for job in listed["jobs"]] == [f"J-{number}" for number in range(701, 731)]
    assert listed["jobs"][0]["question"]["bore"] == "1 in +0.001 -0.000"

    assert said("jobs", "add", "J-801", *LATER, *HUB) == "job J-801 is in the list, due 2040-05-28\n"
    assert said("jobs", "edit", "J-801", "--days", "2", "--by", "Ann") == "job J-801: days 1 -> 2\n"
    held = "BR-0250-A, GU-1000-0250-A, SH-0250-02, SH-0250-01"
    assert (
        said("jobs", "start", "J-801", "--by", "Kim")
        .replace("\n", " ")
        .startswith(f"job J-801 is started; held from 2040-05-25 to 2040-05-28: {held}")
    )
    shown = valid(said("jobs", "show", "job j-801", "--json"), "job")
    assert (shown["state"], shown["days"], len(shown["pieces"])) == (
        "started",
        ["2040-05-25", "2040-05-28"],
        4,
    )
    assert [each["act"] for each in shown["history"]] == ["started", "changed", "added"]
    text = said("jobs", "show", "J-801")
    assert text.startswith("Job J-801, started, due 2040-05-28\n")
    assert "holds BR-0250-A" in text

    # One 1/2 in broach, and two jobs due on one day.
    assert said("jobs", "start", "J-706")
    assert "for J-706)" in said("jobs", "start", "J-707", code=ExitCode.STATE)
    assert said("jobs", "add", "J-802", *LATER, *HUB)
    assert said("jobs", "start", "J-712", code=ExitCode.NO).startswith("NO PLAN")
    assert said("jobs", "show", "J-9", code=ExitCode.BAD_INPUT).startswith(
        "broachplan: number: read “J-9”: no such job"
    )
    assert "days: read “61”" in said("jobs", "edit", "J-802", "--days", "61", code=ExitCode.BAD_INPUT)
    assert said("run", "start", "--job", "j-801", "--by", "Kim").startswith("R1-")
    assert "of job J-801 is open; end that run first" in said("jobs", "finish", "J-801", code=ExitCode.STATE)
    assert said("run", "end", "1", "--abandon", "--why", "rush job", "--broach-condition", "fit")
    assert "bore: nothing was given" in said("run", "start", "--by", "Kim", code=ExitCode.BAD_INPUT)
    assert said("jobs", "finish", "J-801").startswith("job J-801 is done; free again: BR-0250-A")
    assert "job J-801 is done; that is final" in said("jobs", "drop", "J-801", code=ExitCode.STATE)
    assert said("jobs", "drop", "J-802") == "job J-802 is dropped\n"
    assert said("crib", "undo").startswith("undone: job J-802, dropped ")
    assert said("data", "check") == ""


def test_a_list_with_a_wrong_row_is_refused_whole_with_exit_2(
    run_here: Run, crib: str, tmp_path: object
) -> None:
    path = f"{tmp_path}/jobs.csv"
    with open(path, "w", encoding="utf-8") as file:
        file.write(
            "number,due,quantity,bore,hub_length\nJ-1,2031-05-28,1,1 in,1 in\nJ-2,2031-05-28,0,1,1 in\n"
        )

    ran = run_here("jobs", "import", path, "--db", crib)

    assert (ran.returncode, ran.stdout) == (ExitCode.BAD_INPUT, "")
    assert ran.stderr.splitlines() == [
        "broachplan: jobs.csv, row 3, column bore: read “1” without a unit; write a number and its unit, for example 1-1/4 in, 0.625 in, 625 thou or 30 mm",
        "jobs.csv, row 3, column quantity: read “0”; write a whole number from 1 to 100,000",
    ]
    assert run_here("jobs", "list", "--db", crib).stdout == "0 jobs, 0 to be done, 0 late\n"
