"""Write the golden files again: ``python -m tests.cli.regold``. Look at the difference before it is kept."""

from __future__ import annotations

import json
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path
from tempfile import TemporaryDirectory

from broachplan.cli.app import run
from broachplan.cli.plan_json import as_dict
from broachplan.cli.shortages_json import as_dict as shortages_as_dict
from broachplan.desks.buyer.shortages import find_shortages
from broachplan.desks.machinist.demo import open_demo
from broachplan.questions.shortages import ShortagesRequest
from tests.cli import test_key, test_keyseat, test_shortages, test_strength
from tests.cli.hand_made import AFTER, BLOCKED, READY
from tests.cli.test_run import golden_run

GOLDEN = Path(__file__).parent / "golden"

if __name__ == "__main__":
    for name, answer in (
        ("ready", READY),
        ("blocked", BLOCKED),
        ("after", AFTER),
        ("demo", open_demo().answer),
    ):
        (GOLDEN / f"plan_{name}.json").write_text(json.dumps(as_dict(answer), indent=2) + "\n")
    (GOLDEN / "run_parked.json").write_text(golden_run())
    for command, module in (("key", test_key), ("keyseat", test_keyseat), ("strength", test_strength)):
        for name, arguments in module.CASES.items():
            path = GOLDEN / f"{command}_{name}.json"
            if path.exists():
                shown = StringIO()
                with redirect_stdout(shown):
                    run([command, *arguments, "--json"])
                path.write_text(shown.getvalue())
    with TemporaryDirectory() as folder:
        found = find_shortages(
            test_shortages.toolroom(Path(folder)), ShortagesRequest(on=test_shortages.ON[1])
        )
        answer = json.dumps(shortages_as_dict(found), indent=2)
        (GOLDEN / "shortages_demo.json").write_text(answer + "\n")
