"""The README: its two commands are what is run before a change is taken, and its tour is what the program prints."""

from __future__ import annotations

import re
import shlex
import shutil
import subprocess
import tomllib
from pathlib import Path

import pytest
import typer.main

from broachplan import places
from broachplan.cli.commands import app
from broachplan.errors import ExitCode
from broachplan.store.csv_columns import needed_columns, usual_columns
from broachplan.tooling.figures import Kind
from tests.cli.conftest import Run

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```(\w+)\n(.*?)^```$", README, re.DOTALL | re.MULTILINE)
LEFT_OUT = "[...]"


def _commands(command: object, words: tuple[str, ...] = ()) -> list[str]:
    subs = getattr(command, "commands", None)
    if subs is None:
        return [" ".join(words)]
    return [line for name, sub in subs.items() for line in _commands(sub, (*words, name))]


@pytest.mark.parametrize("command", _commands(typer.main.get_command(app)))
def test_every_command_is_in_the_readme_s_list(command: str) -> None:
    assert re.search(rf"^\| `broachplan {command}[ `]", README, re.MULTILINE)


def test_the_first_block_installs_and_plans_the_demo_and_the_second_runs_the_tests() -> None:
    (_, install), (_, test) = BLOCKS[:2]

    assert install.count("\n") == test.count("\n") == 1
    assert install.endswith("broachplan demo\n")
    assert "pip install" in test
    assert test.endswith("pytest -n auto\n")


def test_the_run_before_a_change_is_taken_finds_the_readme_s_test_command() -> None:
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    (program,) = re.findall(r"awk '(.*)' README.md", script)

    found = subprocess.run(["awk", program, ROOT / "README.md"], capture_output=True, text=True, check=True)

    assert found.stdout == BLOCKS[1][1]


def test_the_tour_is_what_the_program_prints(
    run_here: Run, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("BROACHPLAN_DB", "crib.db")
    shutil.copytree(places.seed_inventory(), home / "seed_inventory")
    steps = [step for language, block in BLOCKS if language == "console" for step in _steps(block)]

    assert len(steps) >= 8
    for command, shown in steps:
        ran = run_here(*shlex.split(command))
        assert re.fullmatch(shown, ran.stdout + ran.stderr), f"{command}\n{ran.stdout}{ran.stderr}"


def _steps(block: str) -> list[tuple[str, str]]:
    """Each command of a block with a pattern of what it prints; a line ``[...]`` matches any lines."""
    steps = []
    for part in re.split(r"^\$ broachplan ", block, flags=re.MULTILINE)[1:]:
        command, _, shown = part.partition("\n")
        lines = [r"(?:.*\n)*?" if line == LEFT_OUT else re.escape(f"{line}\n") for line in shown.splitlines()]
        steps.append((command, "".join(lines)))
    return steps


def test_every_exit_code_is_explained_but_the_shell_s_own() -> None:
    explained = re.findall(r"^\| (\d) \|", README, re.MULTILINE)

    assert explained == [str(code.value) for code in ExitCode]


def test_the_licence_is_named_in_both_places() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]

    assert project["license"] == "MIT"
    assert "## Licence\n\nMIT." in README


@pytest.mark.parametrize("kind", list(Kind))
def test_the_readme_s_table_of_files_has_the_columns_of_the_form(kind: Kind) -> None:
    (row,) = re.findall(rf"^\| `{kind.plural}.csv` \| (.*) \| (.*) \|$", README, re.MULTILINE)
    must, may = (tuple(re.findall(r"`(\w+)`", cell)) for cell in row)

    assert must == needed_columns(kind)
    assert sorted((*must, *may)) == sorted(usual_columns(kind))
