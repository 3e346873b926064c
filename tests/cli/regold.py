"""Write the golden files anew: ``python -m tests.cli.regold``. Look at the difference before it is kept."""

from __future__ import annotations

import json
from pathlib import Path

from broachplan.cli.plan_json import as_dict
from broachplan.desks.machinist.demo import open_demo
from tests.cli.hand_made import BLOCKED, READY

GOLDEN = Path(__file__).parent / "golden"

if __name__ == "__main__":
    for name, answer in (("ready", READY), ("blocked", BLOCKED), ("demo", open_demo().answer)):
        (GOLDEN / f"plan_{name}.json").write_text(json.dumps(as_dict(answer), indent=2) + "\n")
