"""``broachplan jobs drawing``: exit codes, files, and the figures of the plan's own make list."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from broachplan.errors import ExitCode
from tests.cli.conftest import Run
from tests.desks.doing import import_crib
from tests.seed_inventory.toolroom import FOLDER

HUB = (
    "--bore",
    "1-1/8 in +0.001 -0.000",
    "--key",
    "1/4 in",
    "--hub-length",
    "1-1/4 in",
    "--material",
    "mild steel",
)


@pytest.fixture
def crib(home: Path, run_here: Run, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The demo toolroom with its jobs, in the folder in which commands run."""
    db = f"{home}/toolroom.db"
    import_crib(db, [FOLDER])
    monkeypatch.setenv("BROACHPLAN_DB", db)
    assert run_here("jobs", "import", str(FOLDER / "jobs.csv")).returncode == 0
    return home


def test_a_blocked_job_gets_a_drawing_with_the_limits_of_its_make_list(crib: Path, run_here: Run) -> None:
    made = json.loads(run_here("plan", *HUB, "--json").stdout)["make"][0]

    drawn = run_here("jobs", "drawing", "J-712", "J-712.svg", "--page", "a4", "--on", "2026-12-01")

    assert (drawn.returncode, drawn.stderr) == (ExitCode.DONE, "")
    assert drawn.stdout.startswith(
        "“J-712.svg”\n1 drawing for job J-712 (bushing), at their own size; print at 100 %"
    )
    said = (crib / "J-712.svg").read_text(encoding="utf-8")
    for name, before in (("web", "web "), ("outside_diameter", "Ø "), ("slot_width", "slot ")):
        found = re.search(rf">{before}([0-9.]+) to ([0-9.]+) in<", said)
        assert found is not None
        lower, upper = made["limits"][f"{name}_nm"]
        assert lower <= float(found[1]) * 25_400_000 + 0.5 < lower + 2_600
        assert upper - 2_600 < float(found[2]) * 25_400_000 - 0.5 <= upper


def test_a_file_is_replaced_only_where_that_is_asked_and_a_crib_never(crib: Path, run_here: Run) -> None:
    def draw(*words: str) -> tuple[int, str]:
        ran = run_here("jobs", "drawing", "J-712", *words)
        return ran.returncode, ran.stderr

    assert draw("it.pdf") == (ExitCode.DONE, "")
    before = (crib / "it.pdf").read_bytes()
    assert before.startswith(b"%PDF")
    code, said = draw("it.pdf", "--page", "a4")
    assert (code, "is there already" in said) == (ExitCode.BAD_INPUT, True)
    assert (crib / "it.pdf").read_bytes() == before
    assert draw("it.pdf", "--page", "a4", "--overwrite")[0] == ExitCode.DONE
    assert draw("it.dxf") == (
        ExitCode.BAD_INPUT,
        "broachplan: file: read “it.dxf”; write a name that ends in .svg or .pdf\n",
    )
    assert draw("it.svg", "--page", "a5")[0] == ExitCode.BAD_INPUT
    assert not (crib / "it.svg").exists()


def test_where_there_is_nothing_to_make_the_answer_is_no_and_no_file_is_written(
    crib: Path, run_here: Run
) -> None:
    def draw(number: str) -> tuple[int, str]:
        ran = run_here("jobs", "drawing", number, "it.svg", "--on", "2026-12-01")
        return ran.returncode, ran.stdout or ran.stderr

    assert draw("J-701") == (ExitCode.NO, "job J-701 has a plan; nothing has to be made for it\n")
    code, said = draw("J-721")
    assert (code, said.startswith("no bushing and no shim would make job J-721 possible")) == (
        ExitCode.NO,
        True,
    )
    run_here("jobs", "drop", "J-712")
    assert draw("J-712")[0] == ExitCode.BAD_INPUT
    assert draw("J-999")[0] == ExitCode.BAD_INPUT
    assert not (crib / "it.svg").exists()
