"""A crib named by a SQLite URL with mode=ro or mode=rw: none is ever made, and with mode=ro none is ever changed."""

from __future__ import annotations

from pathlib import Path

import pytest

from broachplan.errors import ExitCode
from tests.cli.conftest import Run
from tests.faults.acts import ACTS, BUSY, CRIB, KEPT, begin, on_a_crib
from tests.store.test_backup import beside

# They write a file of their own and nothing to the crib.
ASIDE = {"crib export", "crib labels", "crib overdue", "data backup", "jobs drawing", "run export"}
WRITERS = {act.words for name, act in ACTS.items() if name not in ASIDE}


@pytest.mark.parametrize("mode", ["ro", "rw"])
def test_no_command_makes_a_crib_that_is_not_to_be_made(run_here: Run, home: Path, mode: str) -> None:
    begin(home)
    run_here("data", "backup", str(home / KEPT), "--db", CRIB)
    before = beside(home / CRIB)

    for each in on_a_crib():
        line = [word.replace("{here}", str(home)).replace("other.backup", KEPT) for word in each.words]
        ran = run_here(*line, "--db", f"sqlite:///none.db?mode={mode}")

        assert (ran.returncode, ran.stdout) == (ExitCode.STORAGE, ""), (line, ran)
        assert ran.stderr.count("\n") == 1
        assert beside(home / CRIB) == before


def test_mode_ro_reads_a_crib_and_never_changes_it(run_here: Run, home: Path) -> None:
    begin(home)
    for words in BUSY:
        run_here(*words, "--db", CRIB)
    run_here("data", "backup", str(home / "other.backup"), "--db", CRIB)
    before = (home / CRIB).read_bytes()

    for each in on_a_crib():
        line = [word.replace("{here}", str(home)) for word in each.words]
        ran = run_here(*line, "--db", f"sqlite:///{CRIB}?mode=ro")

        if tuple(word for word in each.words if word != "--json") in WRITERS:
            assert (ran.returncode, ran.stdout) == (ExitCode.STORAGE, ""), (line, ran)
            assert "is named with mode=ro, so nothing in it is changed" in ran.stderr, line
        else:
            assert ran.returncode in (ExitCode.DONE, ExitCode.NO), (line, ran)
        assert (home / CRIB).read_bytes() == before
