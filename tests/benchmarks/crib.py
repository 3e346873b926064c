"""One plan in cribs of 1,000 to 100,000 pieces, whole processes, against reading every row."""

from __future__ import annotations

import json
import subprocess
import sys
from math import log
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks.random_crib import Around, make_crib
from tests.benchmarks.ratios import ROOT, process, shown, side_by_side

HUB = (
    "--bore",
    "3/4 in +0.001 -0.000",
    "--key",
    "3/16 in",
    "--hub-length",
    "1 in",
    "--material",
    "medium-carbon steel",
)
_BORE_NM = 19_050_000
MOST_RATIO = 2.0
_TIMES = 7
# A crib whose first 1,000 pieces plan the hub in several ways.
_SEED = 7
READ_ALL = """
import sys
from sqlmodel import create_engine, text
with create_engine(f"sqlite:///{sys.argv[1]}").connect() as connection:
    for table in ("piece", "broach", "bushing", "shim", "press", "pin", "ring", "loan", "hold"):
        connection.execute(text(f"SELECT * FROM {table}")).all()
"""


def main() -> int:
    """Print ratios to reading all rows, and how the time of a plan grows; 1 when other sizes change the plans."""
    hub = Around(_BORE_NM, pieces=1_000)
    with TemporaryDirectory() as name:
        folder = Path(name)
        everywhere = folder / "everywhere.db"
        make_crib(everywhere, 10_000, seed=1)
        _report(everywhere, "10,000 pieces of all sizes", most=MOST_RATIO)
        crowded = folder / "crowded.db"
        make_crib(crowded, 200, seed=1, crowded=hub)
        _report(crowded, "200 that are all for the hub", times=3)
        seconds, plans = {}, set()
        for pieces in (1_000, 10_000, 100_000):
            file = folder / f"{pieces}.db"
            make_crib(file, pieces, seed=_SEED, apart=hub)
            plans.add(_plans(file))
            seconds[pieces] = _report(file, f"{pieces:,}, the same 1,000 in each")
        longer = seconds[100_000] / seconds[1_000]
        print(
            f"from 1,000 to 100,000 pieces {longer:.2f} times as long: exponent {log(longer) / log(100):.2f}",
            end="",
        )
        print(" (linear is 1)" + ("" if len(plans) == 1 else "; the plans are NOT the same"))
    return 0 if len(plans) == 1 else 1


def _report(file: Path, name: str, most: float | None = None, times: int = _TIMES) -> float:
    """Print one crib's ratio; the median seconds of processor time of a plan."""
    found = len(json.loads(_plans(file)))
    yardstick = process(("-c", READ_ALL, str(file)))
    paired = side_by_side(process(_arguments(file), code=0 if found else 3), yardstick, times)
    print(shown(f"{name}, {found} plans", paired, most), flush=True)
    return paired.processor_medians[0]


def _plans(file: Path) -> str:
    """The plans of one crib as JSON."""
    command = [sys.executable, *_arguments(file)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    if done.returncode not in (0, 3):
        raise SystemExit(done.stderr)
    return json.dumps(json.loads(done.stdout)["plans"])


def _arguments(file: Path) -> tuple[str, ...]:
    return ("-m", "broachplan", "plan", *HUB, "--json", "--db", str(file))
