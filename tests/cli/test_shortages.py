"""``broachplan shortages`` on the demo toolroom's coming jobs."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from jsonschema import validate

from broachplan.cli.shortages_json import as_dict
from broachplan.desks.buyer.import_jobs import import_jobs
from broachplan.desks.buyer.shortages import find_shortages
from broachplan.errors import ExitCode
from broachplan.questions.jobs import JobImportRequest
from broachplan.questions.shortages import ShortagesRequest
from broachplan.sheets.layout import lay_out
from broachplan.views.shortages import shortages_sheet
from tests.cli.conftest import Run
from tests.desks.doing import import_crib
from tests.seed_inventory.toolroom import FOLDER, sheet

SCHEMA = json.loads((Path(__file__).parent / "schemas" / "shortages.schema.json").read_text())
ON = ("--on", "2026-11-30")


def toolroom(folder: Path) -> str:
    """The demo toolroom with its coming jobs."""
    db = str(folder / "toolroom.db")
    import_crib(db, [FOLDER])
    import_jobs(db, JobImportRequest(paths=(str(FOLDER / "jobs.csv"),)))
    return db


@pytest.fixture(scope="module")
def crib(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The demo toolroom."""
    return toolroom(tmp_path_factory.mktemp("toolroom"))


@pytest.fixture(scope="module")
def found(crib: str) -> dict[str, Any]:
    """The answer for another program."""
    return as_dict(find_shortages(crib, ShortagesRequest(on="2026-11-30")))


def test_the_command_prints_that_answer_and_says_by_its_exit_code_that_jobs_are_not_ready(
    run_here: Run, crib: str, found: dict[str, Any]
) -> None:
    done = run_here("shortages", *ON, "--json", "--db", crib)

    assert done.returncode == ExitCode.NO
    assert json.loads(done.stdout) == found


def test_the_answer_keeps_its_schema(found: dict[str, Any]) -> None:
    validate(found, SCHEMA)


def test_every_job_comes_out_as_its_note_says(found: dict[str, Any]) -> None:
    notes = {row["number"]: row["note"] for row in sheet("jobs")}

    for job in found["jobs"]:
        rule = re.search(r"\((\w+)\)$", notes[job["number"]])
        if job["verdict"] == "blocked":
            assert rule is not None, job["number"]
            assert job["reason"]["rule"] == rule[1]
            assert job["plan"] is None
        elif job["verdict"] == "ready":
            assert job["plan"] is not None
            passes = re.search(r"(\d) passes", notes[job["number"]])
            assert passes is None or len(job["plan"]["passes"]) == int(passes[1])


def test_two_jobs_that_want_one_broach_on_one_day_clash(found: dict[str, Any]) -> None:
    (clash,) = [job for job in found["jobs"] if job["verdict"] == "clash"]

    assert clash["number"] == "J-707"
    assert clash["clashes_with"] == ["J-706"]
    assert clash["free_days"] == [["2026-12-08", "2026-12-08"]]


def test_a_bushing_to_buy_may_have_any_web_that_does_and_not_only_that_of_one_order_of_passes(
    found: dict[str, Any],
) -> None:
    (job,) = [job for job in found["jobs"] if job["number"] == "J-712"]
    webs = [interval for piece in job["missing"] for interval in piece["intervals"].get("web_nm", ())]

    # 0.4724 to 0.5650 in.
    assert min(low for low, _ in webs) <= 11_998_960
    assert max(high for _, high in webs) >= 14_351_000


def test_with_verdicts_alone_no_plan_and_nothing_missing_is_worked_out(
    crib: str, found: dict[str, Any]
) -> None:
    quick = as_dict(find_shortages(crib, ShortagesRequest(on="2026-11-30", verdicts=True)))

    assert {job["plan"] for job in quick["jobs"]} == {None}
    assert {job["missing"] for job in quick["jobs"]} == {None}
    assert [job["verdict"] for job in quick["jobs"]] == [job["verdict"] for job in found["jobs"]]


def test_the_answer_is_the_golden_file_byte_for_byte(run_here: Run, crib: str) -> None:
    golden = (Path(__file__).parent / "golden" / "shortages_demo.json").read_text()

    assert run_here("shortages", *ON, "--json", "--db", crib).stdout == golden


def test_until_a_day_leaves_later_jobs_out_and_without_a_blocked_one_it_is_done(
    run_here: Run, crib: str
) -> None:
    done = run_here("shortages", *ON, "--until", "2026-12-08", "--db", crib)

    assert done.returncode == ExitCode.DONE
    assert done.stdout.splitlines()[0] == "Mon 30 Nov 2026, 5 jobs to come: 5 can be cut, 0 cannot yet"


@pytest.fixture(scope="module")
def page(crib: str) -> str:
    """The answer in words, no line of it folded."""
    shown = lay_out(shortages_sheet(find_shortages(crib, ShortagesRequest(on="2026-11-30"))), 160)
    return "\n".join(line.text for line in shown)


@pytest.mark.parametrize(
    ("job", "missing", "way"),
    [
        ("J-707", "BR-0500-A: J-706 has it", "one after the other, or 8 Dec"),
        ("J-712", "bushing 1-1/8 in, key 1/4 in", "make OD 1.1240 web 0.5515 in"),
        ("J-713", "shim for 5/8 in", "cut 2: 0.1148, 0.2202 in"),
        ("J-714", "press PR-ROOK: too weak", "use PR-HERON, nothing to buy"),
        ("J-715", "BR-0312-A: worn", "regrind BR-0312-A, or buy one"),
        ("J-716", "hub too thin: one at a time", "stack 3; last 2 with a slug"),
        ("J-720", "bushing 25 mm, key 1/4 in", "make OD 0.9833 web 0.4087 in"),
        ("J-721", "blind bore", "send out: slot or erode it"),
        ("J-728", "broach 0.2346 to 0.2357 in", "find: broach, 16 rising teeth"),
        ("J-730", "press PR-HERON: throat too short", "use PR-BISON, nothing to buy"),
    ],
)
def test_a_job_that_cannot_be_cut_says_what_is_missing_and_the_first_way_out(
    page: str, job: str, missing: str, way: str
) -> None:
    row = rf".* {job} +\d+  {re.escape(missing)} +{re.escape(way)}"

    assert any(re.fullmatch(row, line) for line in page.splitlines())


def test_the_page_says_who_has_the_broach_what_is_on_its_way_and_which_setting_is_missing(
    page: str, run_here: Run, crib: str
) -> None:
    assert "9 Dec  J-706 (2 hubs), J-707 (1 hub): BR-0500-A. One after the other?" in page
    assert "not known for J-712, J-713, J-719, J-720; set make_bushing_days and make_shim_days" in page
    assert "nothing on order, nothing late" in page
    shown = run_here("shortages", *ON, "--db", crib).stdout
    assert all(len(line) <= 80 for line in shown.splitlines())


def test_with_offers_the_demo_toolroom_learns_what_to_buy_within_a_budget_and_what_more_would_add(
    run_here: Run, crib: str
) -> None:
    offers = ("--offers", str(FOLDER / "offers.csv"), "--budget", "130")

    done = run_here("shortages", *ON, *offers, "--json", "--db", crib)
    shown = run_here("shortages", *ON, *offers, "--db", crib)

    assert done.returncode == shown.returncode == ExitCode.NO
    found = json.loads(done.stdout)
    validate(found, SCHEMA)
    buy = found["buy"]
    # 74.00 + 19.00 + 14.50 shipping; 39.00 more is the one bushing of a seller without shipping.
    assert (buy["status"], buy["total"], buy["currency"]) == ("optimal", "107.50", "USD")
    assert {line["offer"]: line["serves"] for line in buy["lines"]} == {
        "HB-0250-PAIR": ["J-712", "J-719"],
        "HB-0625-SHIMS": ["J-713"],
    }
    assert buy["more"][0] == {"amount": "39.00", "adds": ["J-720"]}
    assert [one["offer"] for one in buy["not_judged"]] == ["MT-1125-0250"]
    assert "total 107.50 USD within 130.00 USD: nothing as good costs less" in shown.stdout
    assert "for 39.00 USD more: J-720" in shown.stdout


@pytest.mark.parametrize("given", [("--budget", "12"), ("--time", "5"), ("--measure",)])
def test_what_is_asked_of_offers_needs_a_list_of_them(
    run_here: Run, crib: str, given: tuple[str, ...]
) -> None:
    done = run_here("shortages", *given, "--db", crib)

    assert (done.returncode, done.stdout) == (ExitCode.BAD_INPUT, "")
    assert "name their lists with --offers" in done.stderr
