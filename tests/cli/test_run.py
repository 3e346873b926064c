"""Runs at the command line: what is next in words, the same for programs, exit codes, and what is written to files."""

from __future__ import annotations

import csv
import json
import shlex
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from broachplan.cli.run_json import run_as_dict
from broachplan.crib.records import Measurement, Record
from broachplan.desks.machinist.runs.looking import list_runs, show_run
from broachplan.errors import ExitCode
from broachplan.lengths import parse_length
from broachplan.questions.runs import RunRequest, RunsRequest
from broachplan.runs.steps import RunAct
from broachplan.sheets.listing import list_as_dict
from broachplan.store.check import check
from broachplan.views.runs import RUNS
from tests import ground
from tests.cli.conftest import Run
from tests.cli.validity import schema, valid
from tests.databases import contents
from tests.desks.machinist.runs.press import begin, crib, first_hub, parked, pushed, read
from tests.planner.setups import BASE
from tests.store.cribs import fill

HERE = Path(__file__).parent
START = (
    'run start --bore "25 mm +0 -0" --hub-length "17 mm" --keyway-width "7 mm ±0.02" '
    '--reading "28.1 mm ±0.05" --hub-od "60 mm" --by Kim'
)


def parked_run(db: str) -> str:
    """A run that Kim parked after pass 2 of hub 2, for Ann to resume."""
    begin(crib(db), hubs="4", job="J-701", drawing="WL-1081 issue B", read_each="2")
    first_hub(db)
    pushed(db, through="2", by="Ann")
    parked(db, by="Kim")
    return db


def golden_run() -> str:
    """The JSON of that run."""
    db = str(ground.emptied("golden") / "crib.db")
    return json.dumps(run_as_dict(show_run(parked_run(db), RunRequest(run="1"))), indent=2) + "\n"


@pytest.fixture
def at_crib(
    home: Path,  # noqa: ARG001 - it takes the variable away first
    db_file: str,
    monkeypatch: pytest.MonkeyPatch,
) -> str:
    """BROACHPLAN_DB naming a crib with the pieces of the set-up."""
    monkeypatch.setenv("BROACHPLAN_DB", crib(db_file))
    return db_file


def test_a_run_in_json_keeps_to_its_schema_and_is_the_golden_file_byte_for_byte() -> None:
    message = golden_run()

    schema("run").validate(json.loads(message))
    assert message.encode("ascii") == (HERE / "golden" / "run_parked.json").read_bytes()


def test_only_the_steps_hold_a_clock() -> None:
    whole = json.loads(golden_run())
    del whole["steps"]

    assert "2031" not in json.dumps(whole)


def test_the_schema_misses_every_key_of_a_run_and_of_a_step() -> None:
    whole = json.loads(golden_run())
    for key in whole:
        with pytest.raises(jsonschema.ValidationError, match="is a required property"):
            schema("run").validate({name: value for name, value in whole.items() if name != key})
    for key in whole["steps"][0]:
        step = {name: value for name, value in whole["steps"][0].items() if name != key}
        with pytest.raises(jsonschema.ValidationError, match="is a required property"):
            schema("run").validate({**whole, "steps": [step]})


def test_the_schema_knows_every_act() -> None:
    acts = schema("run").schema["properties"]["steps"]["items"]["properties"]["act"]["enum"]

    assert acts == [act.value for act in RunAct]


def test_the_list_in_json_keeps_to_its_schema(db_file: str) -> None:
    message: Any = list_as_dict(RUNS, list_runs(parked_run(db_file), RunsRequest()))

    schema("runs").validate(message)
    assert [(each["run"], each["state"], each["why"]) for each in message["runs"]] == [
        (1, "stopped", "parked")
    ]


def test_a_run_at_the_command_line_from_its_start_to_its_end(at_crib: str, run_here: Run) -> None:
    def go(line: str, code: ExitCode = ExitCode.DONE) -> str:
        ran = run_here(*shlex.split(line))
        assert (ran.returncode, ran.stderr) == (code, ""), ran
        return ran.stdout

    first, *_ = go(f"{START} --job J-701").splitlines()
    assert first.startswith("R1-")
    code = first.partition(",")[0]
    assert "pass 1 of hub 1 is through, with no shim" in go("run pushed 1")
    go(f"run pushed {code} --through 3")
    assert "the passes left stay as planned" in go('run read 1 --measured "27.201 mm" --with "gauge 12"')
    assert "next: pass 4 of 4 on hub 1" in go("run stop 1 --why lunch") + go("run resume 1")
    go("run pushed 1")
    assert "inside the limits, nothing is left to do" in go('run read 1 --measured "28.101 mm"')
    assert "1 of 1 hub done" in go("run show 1")
    assert "the run is done" in go("run end 1 --broach-condition fit")
    assert valid(go("run list --open --json"), "runs")["runs"] == []
    assert valid(go("run show 1 --json"), "run")["state"] == "done"
    assert go("run list").endswith("1 run\n")
    assert check(at_crib) == ()


@pytest.mark.usefixtures("at_crib")
def test_no_plan_answers_3_and_pieces_that_others_have_answer_5(run_here: Run) -> None:
    line = shlex.split(START)
    line[line.index("--reading") + 1] = "30 mm ±0.05"
    none = run_here(*line)
    assert (none.returncode, none.stdout[:8], none.stderr) == (ExitCode.NO, "NO PLAN:", "")

    run_here("crib", "lend", "K", "--to", "Jo")
    out = run_here(*shlex.split(START))
    assert (out.returncode, out.stdout, out.stderr.count("\n")) == (ExitCode.STATE, "", 1)
    assert "K (lent to Jo since" in out.stderr


def test_a_doubtful_reading_answers_3_and_is_kept(at_crib: str, run_here: Run) -> None:
    begin(at_crib)
    pushed(at_crib, through="3")

    doubtful = run_here("run", "read", "1", "--measured", "27.25 mm")
    assert (doubtful.returncode, doubtful.stderr) == (ExitCode.NO, "")
    assert "hub 1 reads" in doubtful.stdout
    assert "the passes left" not in doubtful.stdout
    assert run_here("run", "read", "1", "--measured", "27.25 mm", "--sure").returncode == ExitCode.DONE


def test_the_plan_in_json_is_there_whatever_the_run_waits_for(at_crib: str, run_here: Run) -> None:
    def shown() -> dict[str, Any]:
        return valid(run_here("run", "show", "1", "--json").stdout, "run")

    begin(at_crib)
    pushed(at_crib, through="3")
    # What is to be gauged now does not take the pass that is left off the plan.
    waiting = shown()
    assert (waiting["waiting_for"], waiting["next"]) == ("reading", None)
    assert [one["number"] for one in waiting["plan"]["passes"]] == [4]

    read(at_crib, "27.2 mm")
    pushed(at_crib)
    read(at_crib, "28.101 mm")
    plan = shown()["plan"]
    # Nothing is left to do: what was read, as well as the gauge knows it.
    assert (plan["broach"], plan["passes"], plan["reading_nm"]) == ("K", [], 28_101_000)
    assert (plan["reading_low_nm"], plan["reading_high_nm"]) == (28_091_000, 28_111_000)


def test_a_run_that_is_given_up_is_done_with_whatever_it_waited_for(at_crib: str, run_here: Run) -> None:
    begin(at_crib)
    pushed(at_crib, through="3")
    assert run_here("run", "read", "1", "--measured", "27.25 mm").returncode == ExitCode.NO

    assert run_here("run", "end", "1", "--abandon", "--why", "no more hubs").returncode == ExitCode.DONE


def test_a_reading_off_its_band_names_the_shims_that_read_so(at_crib: str, run_here: Run) -> None:
    begin(at_crib)
    pushed(at_crib, through="3")

    # With all three shims in it reads 28.1 mm; two were booked.
    said = run_here("run", "read", "1", "--measured", "28.1 mm").stdout

    assert "deep, off its band; it reads as if this were in: a, b, c\n" in said
    assert "nothing is left to do" not in said


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("run show 7", "read “7”: no such run"),
        ("run show R1-AAAA", "run 1 has the code R1-"),
        ("run pushed one", "write its number, or its code"),
        ("run pushed 1 --step nine", "step: read “nine”"),
        ("run read 1", "write what the gauge reads"),
        ('run read 1 --measured "27.2"', "without a unit"),
        ("run scrap 1 --hub 9 --why x", "the run has hubs 1 to 4"),
        ("run correct 1 --at 99 --shims a --why x", "the run has steps 1 to"),
    ],
)
def test_what_is_typed_wrong_answers_2_in_one_line_and_changes_nothing(
    db_file: str, run_here: Run, monkeypatch: pytest.MonkeyPatch, line: str, message: str
) -> None:
    monkeypatch.setenv("BROACHPLAN_DB", parked_run(db_file))
    before = contents(db_file)

    ran = run_here(*shlex.split(line))

    assert (ran.returncode, ran.stdout, ran.stderr.count("\n")) == (ExitCode.BAD_INPUT, "", 1)
    assert message in ran.stderr
    assert contents(db_file) == before


def test_an_export_tells_every_step_with_its_lengths_as_typed_and_as_t(db_file: str, run_here: Run) -> None:
    begin(crib(db_file), job="=1+1", hubs="2")
    pushed(db_file, through="3")
    read(db_file, "20.2 mm", way="block", block="7 mm")
    folder = Path(db_file).parent / "records"

    ran = run_here("run", "export", str(folder), "R1", "--db", db_file)

    assert ran.returncode == ExitCode.DONE, ran.stderr
    runs, steps, pieces = (rows(folder / name) for name in ("runs.csv", "steps.csv", "run_pieces.csv"))
    assert [(row["run"], row["job"], row["asked_bore"], row["hubs_asked"]) for row in runs] == [
        ("1", "'=1+1", "25 mm +0 -0", "2")
    ]
    assert [row["act"] for row in steps] == ["started", "pushed", "pushed", "pushed", "read"]
    assert [steps[-1][name] for name in ("typed", "way", "hub")] == ["20.2 mm", "block", "1"]
    assert parse_length(steps[-1]["t"], "t") == parse_length("27.2 mm", "t")
    assert [row["shims"] for row in steps[1:4]] == ["none", "a", "a,b"]
    assert {row["tag"]: row["web"] for row in pieces if row["web"]} == {"G": "12 mm"}

    again = run_here("run", "export", str(folder), "--db", db_file)
    assert (again.returncode, again.stdout) == (ExitCode.BAD_INPUT, "")
    assert run_here("run", "export", str(folder), "--overwrite", "--db", db_file).returncode == 0


def rows(file: Path) -> list[dict[str, str]]:
    with file.open(encoding="utf-8", newline="") as opened:
        return list(csv.DictReader(opened))


def test_where_a_broach_broke_the_other_pair_is_taken_by_resume(at_crib: str, run_here: Run) -> None:
    spare = replace(BASE.broach, tag="K2")
    fill(at_crib, [Record(piece=spare, measured=Measurement("micrometer"))])
    begin(at_crib)
    pushed(at_crib, through="2")

    ran = run_here("run", "broken", "1", "--broach", "K")

    # It is no “no” where another pair can continue.
    assert ran.returncode == ExitCode.DONE
    said = ran.stdout
    assert "another plan: K2 in G" in said
    assert "`broachplan run resume` takes it" in said
