"""``python -m tests.mutation ROOM``: how many of a room's mutants the tests notice, and which survive.

mutmut makes the mutants. It collects the tests again for each of them, which takes a hundred times as long as the tests
that notice; here they are collected once, and each mutant is tried in a fork (Linux and macOS).
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
from datetime import date
from pathlib import Path

from tests.mutation.record import record
from tests.mutation.results import Results

ROOT = Path(__file__).resolve().parents[2]
# What a copy of the tree needs so that its tests run.
_COPIED = ("broachplan", "tui", "migrations", "seed_inventory", "tests", "pyproject.toml", "README.md", "DEVELOPERS.md", ".ci")  # fmt: skip
# A room's own tests say where it was changed; those that look at its answers from outside notice it too.
_TESTS = {
    "keyways": ("tests/keyways", "tests/questions", "tests/cli/test_key.py", "tests/cli/test_keyseat.py", "tests/cli/test_strength.py"),
    "planner": ("tests/planner", "tests/referee", "tests/desks/machinist", "tests/cli/test_plan_words.py", "tests/cli/test_plan_json.py"),
}  # fmt: skip


def main() -> int:
    """Make the mutants, or with ``--again`` take those that survived; run them and print what is left."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__)
    parser.add_argument("room", help="a folder of broachplan/: cut, crib, keyways or planner")
    parser.add_argument(
        "--again", action="store_true", help="only those that survived, with the tests as they are now"
    )
    parser.add_argument("--only", default="", help="only mutants whose name has this regular expression")
    parser.add_argument("--tests", nargs="*", help="folders or files of tests, else the room's")
    parser.add_argument("--at-once", type=int, default=os.cpu_count() or 1, help="how many are run at once")
    asked = parser.parse_args()
    folder = ROOT / "mutants" / asked.room
    tests = asked.tests or _TESTS.get(asked.room, (f"tests/{asked.room}",))
    if not asked.again:
        _make(folder, asked.room)
    # The tests of the working tree, with what was corrected since the mutants were made.
    shutil.copytree(ROOT / "tests", folder / "mutants" / "tests", dirs_exist_ok=True)
    command = [
        sys.executable,
        "-m",
        "tests.mutation.forks",
        str(folder),
        asked.only,
        str(asked.at_once),
        *tests,
    ]
    ran = subprocess.run(command, cwd=folder / "mutants", check=False)
    results = Results.read(folder)
    print(results.words())
    if ran.returncode == 0 and not asked.only:
        record(asked.room, results, date.today())
    return ran.returncode


def _make(folder: Path, room: str) -> None:
    """Copy the tree and let mutmut write its mutants into ``mutants/`` in it."""
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    for name in _COPIED:
        source = ROOT / name
        (shutil.copytree if source.is_dir() else shutil.copy2)(source, folder / name)
    subprocess.run([sys.executable, "-m", "tests.mutation.make", room], cwd=folder, check=True)


if __name__ == "__main__":
    raise SystemExit(main())
