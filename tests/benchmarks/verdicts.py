"""Verdicts on 2,000 jobs of 300 distinct hubs in a crib of 10,000 pieces, a whole process, against one whole plan."""

from __future__ import annotations

import csv
import json
import subprocess
import sys
from collections import Counter
from datetime import date, timedelta
from math import log
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Any

from tests.benchmarks.crib import HUB
from tests.benchmarks.hubs import random_hubs
from tests.benchmarks.random_crib import make_crib
from tests.benchmarks.ratios import ROOT, process, shown, side_by_side

MOST_RATIO = 20.0
_HUBS, _PIECES, _SEED, _TIMES = 300, 10_000, 1, 3
_TODAY = date(2031, 6, 2)
_DAYS = 300


def main() -> int:
    """Print the ratio, what became of the jobs, and how the time grows with them at a fixed number of hubs."""
    seconds = {}
    with TemporaryDirectory() as name:
        for jobs in (2_000, 500):
            file = Path(name) / f"{jobs}.db"
            make_crib(file, _PIECES, seed=_SEED)
            import_jobs(file, jobs)
            found = Counter(job["verdict"] for job in answer(file)["jobs"])
            paired = side_by_side(
                process(("-m", "broachplan", *arguments(file)), code=3),
                process(("-m", "broachplan", "plan", *HUB, "--json", "--db", str(file))),
                _TIMES,
            )
            most = MOST_RATIO if jobs == 2_000 else None
            print(shown(f"{jobs:,} jobs: {dict(found)}", paired, most), flush=True)
            seconds[jobs] = paired.processor_medians[0]
    print(f"growth with jobs: exponent {log(seconds[2_000] / seconds[500]) / log(4):.2f} (linear is 1)")
    return 0


def import_jobs(file: Path, amount: int, *, own_days: bool = False) -> None:
    """Put so many jobs of 300 hubs into a crib, each on a random day or on one of its own, so that none clash."""
    random = Random(_SEED)
    hubs = list(random_hubs(_HUBS, seed=_SEED))
    path = file.with_suffix(".csv")
    with path.open("w", encoding="utf-8", newline="") as out:
        rows = csv.writer(out)
        rows.writerow(("number", "due", "quantity", "bore", "key", "hub_length", "material"))
        for number in range(amount):
            words = hubs[number % _HUBS]
            given = dict(zip(words[::2], words[1::2], strict=True))
            due = _TODAY + timedelta(days=number if own_days else random.randrange(_DAYS))
            hub = (given.get(option, "") for option in ("--bore", "--key", "--hub-length", "--material"))
            rows.writerow((f"W-{number:05}", due.isoformat(), 1, *hub))
    command = [sys.executable, "-m", "broachplan", "jobs", "import", str(path), "--db", str(file)]
    subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.DEVNULL)


def arguments(file: Path) -> tuple[str, ...]:
    """Those of the program that judges them."""
    return ("shortages", "--verdicts", "--on", _TODAY.isoformat(), "--json", "--db", str(file))


def answer(file: Path, *more: str) -> dict[str, Any]:
    """What it says, with more arguments."""
    command = [sys.executable, "-m", "broachplan", *arguments(file), *more]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    found: dict[str, Any] = json.loads(done.stdout)
    return found
