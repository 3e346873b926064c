"""The demo: a crib in its own file, made new, and the plan of its first hub."""

from __future__ import annotations

import json
import sqlite3
import stat
import subprocess
import sys
from contextlib import closing
from datetime import date, timedelta
from pathlib import Path

import pytest

from broachplan.buying.verdicts import Verdict
from broachplan.cli import app as frame
from broachplan.desks.attendant.import_crib import import_crib
from broachplan.desks.buyer.offer_choice import offer_choice
from broachplan.desks.buyer.shortages import find_shortages
from broachplan.desks.machinist import demo
from broachplan.desks.machinist.demo import Demo, open_demo
from broachplan.errors import ExitCode
from broachplan.questions.hub import PlanRequest
from broachplan.questions.offer_choice import OfferChoiceRequest
from broachplan.questions.shortages import ShortagesRequest
from tests.cli.conftest import Run
from tests.cli.hand_made import READY
from tests.cli.validity import valid
from tests.store.test_backup import umask

HERE = Path(__file__).parent
ROOT = HERE.parents[1]


def _data(home: Path) -> Path:
    (folder,) = home.rglob("demo.db")
    return folder.parent


def test_the_demo_plans_its_first_hub_without_a_terminal(run: Run, home: Path) -> None:
    ran = run("demo")

    assert ran.returncode == ExitCode.DONE
    assert ran.stderr == ""
    assert ran.stdout.startswith("Demo toolroom, job J-701: ")
    assert "\nREADY: 3 passes, " in ran.stdout
    assert max(len(line) for line in ran.stdout.splitlines() if "--db" not in line) <= 80
    assert not list(home.rglob("crib.db"))


def test_the_demo_s_plan_in_json_is_the_golden_file_byte_for_byte_each_time(run_here: Run) -> None:
    golden = (HERE / "golden" / "plan_demo.json").read_text()

    assert run_here("demo", "--json").stdout == golden
    assert run_here("demo", "--json").stdout == golden
    valid(golden, "plan")


def test_the_plan_command_on_the_demo_crib_gives_the_same_answer(run_here: Run, home: Path) -> None:
    golden = json.loads(run_here("demo", "--json").stdout)
    asked = (
        "--bore",
        "1 in +0.001 -0.000",
        "--key",
        "1/4 in",
        "--hub-length",
        "1-1/8 in",
        "--hub-od",
        "2 in",
    )
    ran = run_here(
        "plan",
        *asked,
        "--hardness",
        "150 HB",
        "--material",
        "mild steel",
        "--json",
        "--db",
        str(_data(home) / "demo.db"),
    )

    assert json.loads(ran.stdout) == golden


def test_what_was_changed_in_the_demo_crib_is_gone_the_next_time(run_here: Run, home: Path) -> None:
    run_here("demo")
    db = str(_data(home) / "demo.db")
    run_here("settings", "set", "units", "mm", "--db", db)
    run_here("demo")

    assert (
        json.loads(run_here("settings", "show", "--json", "--db", db).stdout)["settings"][0]["value"]
        == "as typed"
    )


def test_a_journal_left_by_a_killed_run_is_not_played_into_the_new_crib(run_here: Run, home: Path) -> None:
    run_here("demo")
    journal = _data(home) / "demo.db-journal"
    journal.write_bytes(bytes.fromhex("d9d505f920a163d7") + bytes(504))

    assert run_here("demo").returncode == ExitCode.DONE
    assert not journal.exists()
    assert [path.name for path in _data(home).iterdir() if path.is_file()] == ["demo.db"]


@pytest.mark.usefixtures("home")
def test_two_demos_at_once_both_answer() -> None:
    # The first loads all that the two forked after it need; its crib is gone before they begin.
    script = (
        "import json, os, shutil; from tests.cli.eight import at_once, run;"
        "first = run('demo', '--json'); shutil.rmtree(os.environ['XDG_DATA_HOME']);"
        "print(json.dumps([first, *at_once(lambda _: run('demo', '--json'), 2)]))"
    )
    ran = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, cwd=ROOT, timeout=120, check=True
    )

    first, *others = json.loads(ran.stdout)
    assert json.loads(first[1])["verdict"] == "ready"
    assert others == [first] * 2


def test_a_data_folder_that_cannot_be_written_is_reported_in_one_line(
    run_here: Run, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (home / "file").write_text("")
    monkeypatch.setenv("XDG_DATA_HOME", str(home / "file"))
    ran = run_here("demo")

    assert ran.returncode == ExitCode.STORAGE
    assert ran.stdout == ""
    assert ran.stderr.count("\n") == 1


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, PlanRequest]]:
    """What the screens were opened on, at a terminal, with a demo made by hand."""
    seen: list[tuple[str, PlanRequest]] = []
    question = PlanRequest(bore="1 in", hub_length="1-1/8 in", press="PR-2")
    monkeypatch.setattr(
        "broachplan.desks.machinist.demo.open_demo",
        lambda: Demo("demo.db", "J-1", "a hub", question, READY),
    )
    monkeypatch.setattr("broachplan.cli.demo.in_terminal", lambda: True)
    monkeypatch.setattr("broachplan.cli.screens.open_screens", lambda db, asked: seen.append((db, asked)))
    return seen


@pytest.mark.parametrize(("words", "opens"), [([], True), (["--no-screens"], False), (["--json"], False)])
def test_in_a_terminal_the_screens_open_on_the_demo_s_hub_unless_not_wanted(
    words: list[str], opens: bool, opened: list[tuple[str, PlanRequest]]
) -> None:
    assert frame.run(["demo", *words]) == ExitCode.DONE

    assert opened == (
        [("demo.db", PlanRequest(bore="1 in", hub_length="1-1/8 in", press="PR-2"))] if opens else []
    )


def test_a_write_ahead_log_left_beside_the_demo_is_not_taken_for_the_new_one_s(
    run_here: Run, home: Path, tmp_path: Path
) -> None:
    golden = run_here("demo", "--json").stdout
    file, log = _data(home) / "demo.db", tmp_path / "log"
    with closing(sqlite3.connect(file, isolation_level=None)) as other:
        other.execute("PRAGMA journal_mode = WAL")
        other.execute("DELETE FROM hold")
        other.execute("UPDATE piece SET retired = 1")
        log.write_bytes(file.with_name("demo.db-wal").read_bytes())
    file.with_name("demo.db-wal").write_bytes(log.read_bytes())

    assert run_here("demo", "--json").stdout == golden
    assert run_here("data", "check", "--db", str(file)).stdout == ""


@pytest.mark.parametrize("mask", [0, 0o777])
def test_the_folder_in_which_the_demo_is_made_is_its_owner_s_alone(
    run_here: Run, monkeypatch: pytest.MonkeyPatch, mask: int
) -> None:
    modes = []

    def bring_in(db: str, *about: object) -> None:
        modes.append(stat.S_IMODE(Path(db).parent.stat().st_mode))
        import_crib(db, *about)  # type: ignore[arg-type]

    monkeypatch.setattr(demo, "import_crib", bring_in)
    with umask(mask):
        assert run_here("demo", "--json").returncode == ExitCode.DONE

    assert modes == [0o700]


@pytest.mark.usefixtures("home")
def test_the_buyer_of_the_demo_finds_jobs_that_are_all_to_come_with_offers_and_days_to_make_things() -> None:
    """However long ago its jobs were written down."""
    later = date(2031, 5, 26)

    shown = open_demo(later)
    found = find_shortages(shown.db, ShortagesRequest(on=later.isoformat()))

    assert not [one.job.number for one in found.jobs if one.days.late]
    assert min(one.job.due for one in found.jobs) - later < timedelta(weeks=1)
    assert {one.judged.verdict for one in found.jobs} == set(Verdict)
    assert all(each.day is not None for each in found.to_begin)
    (offers,) = offer_choice(shown.db, OfferChoiceRequest()).lists
    assert Path(offers).name == "offers.csv"
